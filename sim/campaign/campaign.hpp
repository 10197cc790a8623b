#pragma once
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <span>
#include <utility>
#include <vector>

#include "sim/campaign/branch.hpp"
#include "sim/campaign/nominal.hpp"
#include "sim/campaign/plan.hpp"
#include "sim/campaign/result.hpp"

namespace ovenproof::campaign {

/// A machine's nominal run with its checkpoints, and the plan over it. While injections run it is
/// read only: any number of threads may run them at once.
class Campaign {
 public:
  /// Simulates the nominal run. Throws std::runtime_error, saying why, if the oven does not come
  /// through it: then there is nothing to compare with.
  Campaign(std::shared_ptr<const scenario::OvenContext> oven, const PlanOptions& options);

  [[nodiscard]] const Plan& plan() const { return plan_; }
  [[nodiscard]] const PlanOptions& options() const { return options_; }
  [[nodiscard]] const Nominal& nominal() const { return nominal_; }

  /// See `campaign::add_pairs`.
  void add_pairs(std::span<const Result> singles) { campaign::add_pairs(plan_, singles); }

  /// Called with each result, from any thread, one at a time, in no order. False: stop soon.
  using Sink = std::function<bool(const Result&)>;

  /// Runs the injections of these numbers on `jobs` threads. Each result is the same whatever else
  /// is run, in whatever order; failures that sleep until the same scan are simulated once. Throws
  /// what a branch throws.
  void run(std::span<const std::uint64_t> numbers, unsigned jobs, const Sink& sink) const;

  /// The failures of one injection, at the scans from which on they can make a difference; none if
  /// they never can.
  [[nodiscard]] std::vector<Failure> failures(const Injection& injection) const;

  /// Hazards that do not count in a branch with that failure, because the attendant who works the
  /// oven from then on brings them about without any failure. Thread-safe.
  [[nodiscard]] HazardSet not_judged(const Failure& failure) const;

 private:
  /// What attendants bring about themselves, by attendant and the scan at which they take over.
  struct Own {
    std::mutex mutex;
    std::map<std::pair<cycle::Habit, std::uint64_t>, HazardSet> found;
  };

  PlanOptions options_;
  Nominal nominal_;
  Plan plan_;
  std::unique_ptr<Own> own_ = std::make_unique<Own>();
};

/// One injection, simulated from the nominal run's moment in which it begins. Thread-safe.
Result run_injection(const Campaign& campaign, std::uint64_t number);

}  // namespace ovenproof::campaign
