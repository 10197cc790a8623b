#pragma once
#include <cstddef>
#include <optional>
#include <vector>

#include "sim/properties/property.hpp"
#include "sim/prove/explorer.hpp"

/// From a violation in the explored states to a run that anybody can repeat.
namespace ovenproof::prove {

/// What must be told the logic, scan by scan from power-up, to bring it there. Facts that are not
/// known are as usual_facts() has them.
struct Script {
  logic::Cause born = logic::Cause::power_up;
  std::vector<Reading> scans;
};

/// One scan of a script that was played.
struct PlayedScan {
  FactSet facts = 0;  ///< all of them, as the logic could have read them
  Answer answer;
  logic::TimerSet timers = 0;  ///< commanded to run
};

struct Played {
  std::vector<PlayedScan> scans;
  /// First scan after which the property is violated whatever follows.
  std::optional<std::size_t> violated_in;
};

/// Facts of a healthy oven that follows what was energised in the scan before: door closed, proofs
/// as the outputs, no fault, no button pressed, no timer elapsed, nothing reached yet, cold while
/// nothing is energised.
[[nodiscard]] FactSet usual_facts(logic::OutputSet energised);

/// The shortest way to violate the property, as first found.
[[nodiscard]] Script script_of(const Subject& subject, const Histories& histories,
                               const Exploration& exploration, std::size_t property);

/// Plays a script on a logic from power-up, by the scan that the controller calls, and judges it
/// with the monitor of sim/properties, which knows nothing of the exploration. Each scan is also
/// taken in steps, for `answer.as_explored`.
[[nodiscard]] Played play(const logic::Options& options, const Script& script,
                          const properties::Property& property);

/// The script with every fact taken out that can be as usual: what is left must be as it says.
[[nodiscard]] Script minimised(const logic::Options& options, Script script,
                               const properties::Property& property);

/// Of each scan, what the process must not have brought about yet: with these facts the script
/// would violate nothing, though it would with all others that only the process brings about.
[[nodiscard]] std::vector<FactSet> needed_as_usual(const logic::Options& options,
                                                   const Script& script,
                                                   const properties::Property& property);

}  // namespace ovenproof::prove
