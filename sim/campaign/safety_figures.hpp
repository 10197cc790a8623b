#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "sim/campaign/plan.hpp"
#include "sim/campaign/result.hpp"
#include "sim/machine/error.hpp"
#include "sim/machine/machine.hpp"
#include "sim/safety/coverage.hpp"
#include "sim/safety/estimate.hpp"

/// What a campaign says of the safety functions that the machine file states.
namespace ovenproof::campaign {

/// One of the dangerous failure modes that a component is stated to have.
struct SafetyMode {
  std::string mode;
  double share = 1.0;  ///< of the component's dangerous failures
  safety::ModeFate fate = safety::ModeFate::no_effect;
  std::optional<std::uint64_t> number;  ///< injection that decided it; none if nothing met the mode
};

struct SafetyComponent {
  std::string name;
  std::vector<SafetyMode> modes;
  std::optional<double> coverage;  ///< 0..1, from the campaign or as claimed
  bool claimed = false;
};

/// How long the oven took to react, and in which injection.
struct Reaction {
  mock::VirtualMs ms = 0;
  std::uint64_t number = 0;
};

struct SafetyFunction {
  const safety::Function* stated = nullptr;
  std::vector<SafetyComponent> components;                ///< of all channels, each once
  std::array<unsigned, safety::mode_fate_count> fates{};  ///< modes by fate
  /// Slowest notice of one of its dangerous failures; of those that were tried.
  std::optional<Reaction> fault;
  std::optional<Reaction> demand;  ///< slowest answer to a demand, by its causes, after a failure
  safety::Estimate estimate;
};

/// Why the function is not met: a time that is longer than the process safety time, a level or
/// category that is not attained, of category 3 or 4 a single failure that ends in a hazard. Empty
/// if none of what was computed misses.
std::vector<std::string> misses(const SafetyFunction& function);

/// Something that the verdict on the function needs was not computed: a mode was not tried, data
/// are missing, or it states neither a level nor a time to be judged by.
bool is_open(const SafetyFunction& function);

/// "12 ms", "1.2 s", "8.3 min", "2.5 h"
std::string short_duration(std::uint64_t ms);

/// The functions in the order of the file. `machine` must outlive the figures, and have no
/// `safety_mistakes`.
///
/// The worst injection decides a mode's fate: a hazard that the function protects from, then
/// silence, then a notice. Injections that nothing meets before the nominal run ends say nothing.
std::vector<SafetyFunction> safety_figures(const machine::Machine& machine, const Plan& plan,
                                           std::span<const Result> results);

/// What the machine file's safety data name that the campaign does not know: failure modes,
/// hazards, causes; and shares that do not add up.
std::vector<machine::Error> safety_mistakes(const machine::Machine& machine, const Plan& plan);

}  // namespace ovenproof::campaign
