#pragma once
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "sim/campaign/injection.hpp"
#include "sim/campaign/mode.hpp"
#include "sim/campaign/nominal.hpp"
#include "sim/campaign/result.hpp"

namespace ovenproof::campaign {

/// What a plan is made from besides the machine.
struct PlanOptions {
  std::uint32_t instants = 20;  ///< least number of instants a mode, over two cycles
  std::uint64_t seed = 1;       ///< of the random instants
  friend bool operator==(const PlanOptions&, const PlanOptions&) = default;
};

/// Everything that will be injected into one machine, in a fixed order.
struct Plan {
  std::vector<Mode> modes;
  std::vector<Mode> demands;  ///< what protection must answer: only ever the second of a pair
  std::vector<Instant> instants;
  std::vector<Injection> injections;  ///< number n stands at place n
  std::size_t singles = 0;            ///< injections of one failure; pairs follow
};

/// Which mode, how it is brought about, and when it is brought about.
struct Part {
  const Mode& mode;
  const Realisation& realisation;
  const Instant& instant;
};
Part first_of(const Plan& plan, const Injection& injection);
/// \pre injection.second
Part second_of(const Plan& plan, const Injection& injection);

/// The plan of the single failures.
Plan make_plan(const Nominal& nominal, const PlanOptions& options);

/// Adds the pairs that the results of the single failures ask for: each failure that stayed
/// unnoticed, with every other that does something that may wake it, and with every demand.
/// `singles`: of all of them, by number. What was added before is replaced.
void add_pairs(Plan& plan, std::span<const Result> singles);

/// A text that names every input of the plan: the machine's keys, the catalogue, the instants, the
/// options. Equal texts, equal plans: to be hashed by whoever stores results.
std::string inputs_text(const Plan& plan, const scenario::OvenContext& oven,
                        const PlanOptions& options);

}  // namespace ovenproof::campaign
