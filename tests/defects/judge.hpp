#pragma once
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "relation.hpp"
#include "sim/prove/interlocks.hpp"

namespace ovenproof::defects {

/// All that can be ordered. The first has every part; the next ones lack one, and those with other
/// numbers of re-purges come last.
[[nodiscard]] std::vector<logic::Options> options_in_order();

/// What the prover says of the logic with the defect that is awake now, for one machine.
///
/// If the relation does not differ, "end" is "equivalent". Else the machine is explored, and what
/// nobody objects to is compared with the sound logic, unless it is `brief`:
///   refuted    an interlock is violated: "by" its id, "depth" scans of the shortest run
///   vacuous    what an interlock speaks of never happens any more: "by" its id
///   stuck      recovery or progress fails: "by" what is not reached
///   silent     nothing of that, and never does the logic say otherwise than the sound one, though
///              it remembers otherwise
///   survived   nothing of that: "differs" is an example, and "dead" are parts of the logic that
///              are never at work any more, as far as `idle` has not got them
///   unnoticed  nothing of that, if it is brief
[[nodiscard]] nlohmann::json judge(const Relation& machine, const std::vector<std::string>& idle,
                                   bool brief);

/// Ids of the interlocks that the logic violates with the defects that are awake now.
[[nodiscard]] std::vector<std::string> violated(const logic::Options& options);

/// The same for a defect beside another one that takes a first line of defence away: "refuted" by
/// an interlock that the other one alone does not violate (those are in `except`), or "survived".
[[nodiscard]] nlohmann::json judge_beside(const logic::Options& options,
                                          const std::vector<std::string>& except);

/// Parts of the logic that are never at work in a machine with these options.
[[nodiscard]] std::vector<std::string> idle_parts(const logic::Options& options);

}  // namespace ovenproof::defects
