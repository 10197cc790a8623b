#pragma once
#include <cstdint>
#include <functional>
#include <memory>
#include <span>

#include "sim/campaign/plan.hpp"
#include "sim/campaign/result.hpp"
#include "sim/scenario/case.hpp"

namespace ovenproof::campaign {

/// A machine's nominal run with its checkpoints, and the plan over it. After construction it is
/// read only: any number of threads may run injections at once.
class Campaign {
 public:
  /// Simulates the nominal run. Throws std::runtime_error, saying why, if the oven does not come
  /// through it: then there is nothing to compare with.
  Campaign(std::shared_ptr<const scenario::OvenContext> oven, const PlanOptions& options);
  Campaign(const Campaign&) = delete;
  Campaign& operator=(const Campaign&) = delete;
  ~Campaign();

  [[nodiscard]] const Plan& plan() const;
  [[nodiscard]] const scenario::OvenContext& oven() const;

  /// See `add_pairs`.
  void add_pairs(std::span<const Result> singles);

  /// Called with each result, from any thread, one at a time, in no order. False: stop soon.
  using Sink = std::function<bool(const Result&)>;

  /// Runs the injections of these numbers on `jobs` threads. Each result is the same whatever else
  /// is run, in whatever order.
  void run(std::span<const std::uint64_t> numbers, unsigned jobs, const Sink& sink) const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

/// One injection, simulated from the nearest checkpoint. Thread-safe.
Result run_injection(const Campaign& campaign, std::uint64_t number);

}  // namespace ovenproof::campaign
