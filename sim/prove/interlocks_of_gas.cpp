#include "sim/prove/hot_load_words.hpp"
#include "sim/prove/interlock_groups.hpp"
#include "sim/prove/interlock_words.hpp"

namespace ovenproof::prove {
namespace {

using namespace words;
using logic::Timer;

/// "At most so many, and the trip for more comes after so many and with one more loss."
std::string repurge_limit(unsigned most) {
  if (most == 0) {
    return always("phase != repurging and (rises(first_out = repurge_limit) implies " +
                  was(loses_inert_gas) + ")");
  }
  const auto in_this_cycle = [](const std::string& happened) {
    return "((not " + at_rest + ") since (" + happened + "))";
  };
  std::string heated = in_this_cycle(heating);  // after as many re-purges as counted so far
  for (unsigned n = 0; n < most; ++n) {
    const std::string again = in_this_cycle("rises(phase = repurging) and " + heated);
    heated = in_this_cycle(heating + " and " + again);
  }
  return always("not (rises(phase = repurging) and " + heated +
                ") and (rises(first_out = repurge_limit) implies (falls" + heated + " and " +
                was(loses_inert_gas) + "))");
}

}  // namespace

std::vector<Interlock> interlocks_of_gas(const logic::Options& options) {
  const bool oxygen = options.oxygen_monitor;
  return {
      {"REQ-GAS-01", "R-GAS-PATHS", "never both gas paths",
       never("command.purge_valve and command.process_valve")},
      {"REQ-GAS-02", "R-GAS-PATHS",
       "one path opens only when the other is proven to be without flow",
       always("(rises(command.purge_valve) implies not fact.process_flow) and"
              " (rises(command.process_valve) implies not fact.purge_flow)")},
      {"REQ-GAS-03", "R-GAS-PATHS",
       "a gas path opens only after both were shut until the changeover elapsed",
       always("((changes(gas_path) and gas_path != shut) implies"
              " (falls(gas_path = shut) and fact.changeover_elapsed)) and"
              " (rises(command.purge_valve) implies not " +
              was("command.process_valve") + ") and (rises(command.process_valve) implies not " +
              was("command.purge_valve") + ")")},
      {"REQ-GAS-04", "R-DOOR-OPEN", "no gas unless the door is proven closed",
       always("(command.purge_valve or command.process_valve) implies fact.door_closed")},
      {"REQ-GAS-05", "R-GATE-RESTART",
       "volume changes are counted only while purge gas is on and circulation is proven",
       always("command.count_purge implies"
              " (command.purge_valve and command.fan and fact.fan_running)")},
      {"REQ-GAS-06", "R-GATE", "a purge, also one while cooling, ends as soon as the gate is met",
       never(still("(phase in {purging, repurging, flushing})") + " and " +
             was("command.purge_valve") + " and " + gate_conditions)},
      {"REQ-GAS-07", "R-GATE", "a re-purge comes only where heating has lost its inert gas",
       always("rises(phase = repurging) implies " + was(loses_inert_gas)),
       options.max_repurges > 0},
      {"REQ-GAS-08", "R-REPURGE-LIMIT",
       "a cycle re-purges as often as the settings say, and the next loss of gas trips it",
       repurge_limit(options.max_repurges)},
      {"REQ-GAS-09", "R-HOLD",
       "a cooling load is flushed when oxygen is above the hold limit or its monitor has failed, "
       "and only then",
       always("(" + was("(phase = cooling)") +
              " and (fact.oxygen_above_hold or fact.oxygen_failed)) implies phase != cooling) and"
              " (rises(phase = flushing) implies (" +
              was("(phase = cooling)") + " and (fact.oxygen_above_hold or fact.oxygen_failed))"),
       oxygen},
      {"REQ-GAS-10", "R-HOLD", "flushing goes back to cooling only when the gate is met",
       always("(falls(phase = flushing) and phase = cooling) implies " + gate_met), oxygen},
      {"REQ-GAS-11", "R-SHRINK", "process gas is taken from a load only for a reason",
       always("falls(command.process_valve) implies"
              " (phase in {purging, repurging, flushing, unloading} or " +
              general_fault + " or " + cold + " or fact.purge_flow or " +
              Delays().over("not fact.process_flow", Timer::process_flow_missing) + ")")},
      {"REQ-GAS-12", "R-SHRINK",
       "at rest process gas comes back to a hot inert load as soon as the changeover is over",
       never(at_rest +
             " and gas_path = shut and not changes(gas_path) and"
             " fact.changeover_elapsed and " +
             hot_and_inert + " and not " + not_reset_since(gas_path_fault))},
      {"REQ-GAS-13", "R-FLOW-UNEXPECTED",
       "process gas that a fault of a gas path took away comes back only by a reset",
       never("command.process_valve and " + not_reset_since(gas_path_fault))},
      {"REQ-GAS-14", "R-SHRINK",
       "tripped, purge gas flows only where a fault of a gas path has taken the process gas away",
       always("(phase = tripped and command.purge_valve) implies " +
              not_reset_since(gas_path_fault))},
      {"REQ-GAS-15", "R-SHRINK",
       "a hot inert load that loses its process gas by a fault of its path gets purge gas",
       never("((gas_path = shut and fact.changeover_elapsed) or gas_path = process) and"
             " not changes(gas_path) and phase = tripped and " +
             hot_and_inert + " and " + not_reset_since(gas_path_fault))},
  };
}

}  // namespace ovenproof::prove
