#pragma once
#include <string>

#include "sim/prove/delays.hpp"
#include "sim/prove/interlock_words.hpp"

/// Words about a hot load and the gas it needs. What they remember is what the logic itself has to
/// remember, so that they add few states to the exploration.
namespace ovenproof::prove::words {

/// Process gas does not flow though its valve is on, or purge gas flows though its valve is off.
/// The delay has elapsed when the logic reads that it has.
inline const std::string gas_path_fault =
    "((" + was("command.process_valve") + " and " +
    Delays().over("not fact.process_flow", logic::Timer::process_flow_missing) + ") or (not " +
    was("command.purge_valve") + " and " +
    Delays().over("fact.purge_flow", logic::Timer::purge_flow_unexpected) + "))";

/// Purge gas does not flow though its valve is on, or process gas flows though its valve is off, or
/// a purge has not met its gate in time.
inline const std::string purge_path_fault =
    "((" + was("command.purge_valve") + " and " +
    Delays().over("not fact.purge_flow", logic::Timer::purge_flow_missing) + ") or (not " +
    was("command.process_valve") + " and " +
    Delays().over("fact.process_flow", logic::Timer::process_flow_unexpected) + ") or " +
    Delays().over(was("(phase in {purging, repurging})"), logic::Timer::purge_timeout) + ")";

/// It occurred, and no reset was accepted since.
inline std::string not_reset_since(const std::string& fault) {
  return "((not falls(phase = tripped)) since " + fault + ")";
}

/// A gate is met by which the sequence goes on: to heat, or from a flush back to cooling.
inline const std::string made_inert =
    "(" + gate_met + " and (" + heating + " or (falls(phase = flushing) and phase = cooling)))";

/// The load is hot, and was made inert or found hot by a reset; since then the chamber has stayed
/// shut, and one of the gas paths was free of faults.
inline const std::string hot_and_inert =
    "((not " + general_fault + " and phase != unloading and not (" + at_rest + " and " + cold +
    ") and not (" + not_reset_since(gas_path_fault) + " and " + not_reset_since(purge_path_fault) +
    ")) since (" + made_inert + " or " + reset_while_hot + "))";

}  // namespace ovenproof::prove::words
