#include "sim/prove/interlock_groups.hpp"
#include "sim/prove/interlock_words.hpp"

namespace ovenproof::prove {

std::vector<Interlock> interlocks_of_heat(const logic::Options& options) {
  using namespace words;
  const bool oxygen = options.oxygen_monitor;
  // Power-up needs no word here: there is no gate before it.
  const std::string inert_lost =
      "(first_out != none or not fact.door_closed or not fact.gas_supply_ok or"
      " (option.oxygen_monitor and fact.oxygen_above_hold))";
  // What holds the memory of the gate is `heating` in both: outside it there is nothing to
  // remember.
  return {
      {"REQ-HEAT-01", "R-DOOR-OPEN", "heat only while the door is proven closed on all contacts",
       always(heat + " implies (fact.door_closed and not fact.door_contacts_disagree)")},
      {"REQ-HEAT-02", "R-FAN-HEAT", "heat only while the fan is on and its airflow proven",
       always(heat + " implies (command.fan and fact.fan_running)")},
      {"REQ-HEAT-03", "R-TEMPERATURE-VALID", "heat only with a valid and plausible temperature",
       always(heat + " implies (fact.temperature_valid and not fact.thermocouples_disagree and"
                     " not fact.temperature_rate_implausible)")},
      {"REQ-HEAT-04", "R-OXYGEN-VALID", "heat only with a valid oxygen reading that moves",
       always(heat + " implies (fact.oxygen_valid and not fact.oxygen_frozen)"), oxygen},
      {"REQ-HEAT-05", "R-LIMITER",
       "heat only with limiter and emergency stop healthy, below the control limit",
       always(heat + " implies (fact.limiter_healthy and fact.estop_healthy and"
                     " not fact.over_temperature)")},
      {"REQ-HEAT-06", "R-RESET", "no heat while a trip is latched",
       always(heat + " implies first_out = none")},
      {"REQ-HEAT-07", "R-GATE",
       "heat only if the gate was met since the door was last open, the power last came, a trip, or"
       " the gas was last lost",
       always(heat + " implies ((" + heating + " and not " + inert_lost + ") since (" + gate_met +
              " and " + heating + "))")},
      {"REQ-HEAT-08", "R-HOLD", "no heat while oxygen is above the hold limit",
       always(heat + " implies not fact.oxygen_above_hold"), oxygen},
      {"REQ-HEAT-09", "R-FLOW-MISSING", "heat only while process gas is proven to flow",
       always(heat + " implies fact.process_flow")},
      {"REQ-HEAT-10", "R-CONTACTOR-CLOSE", "the heater fires only behind both contactors",
       always("command.heater_drive implies (command.k1 and command.k2)")},
      {"REQ-HEAT-11", "R-GATE", "once ramp and soak were left, heat comes back only by a new purge",
       always(heat + " implies (" + heating + " since (" + gate_met + " and " + heating + "))")},
      {"REQ-HEAT-12", "R-START-EDGE", "heat only in a cycle that a start began",
       always(heat + " implies ((not " + at_rest + ") since command.programme_restart)")},
      {"REQ-HEAT-13", "R-STOP", "stop takes the heat away in the same scan",
       always(heat + " implies not fact.stop_pressed")},
      {"REQ-HEAT-14", "R-FLOW-UNEXPECTED",
       "heat only over a process valve that was on already, so that proven flow is its flow",
       always(heat + " implies " + was("command.process_valve"))},
      {"REQ-HEAT-15", "R-SOAK", "each segment is ramped and soaked to its end, unless broken off",
       always(
           "(rises(phase = soak) implies fact.ramp_complete) and"
           " ((falls(phase = soak) and phase = ramp) implies"
           " (fact.soak_complete and not fact.last_segment and command.programme_advance)) and"
           " ((falls(phase in {ramp, soak, repurging}) and phase in {cooling, unloading}) implies"
           " (fact.stop_pressed or"
           " (falls(phase = soak) and fact.soak_complete and fact.last_segment)))")},
      {"REQ-HEAT-16", "R-SOAK", "a ramp and a soak end as soon as they are complete",
       always("(" + still("(phase = ramp)") + " implies not fact.ramp_complete) and (" +
              still("(phase = soak)") + " implies not fact.soak_complete)")},
      {"REQ-HEAT-18", "R-OXYGEN-AIR",
       "heat only by a monitor that has read air since power-up and since the last unloading",
       always(heat + " implies fact.oxygen_has_read_air"), oxygen},
      {"REQ-HEAT-19", "R-SCAN", "no heat in a scan that is late or follows a jump of the clock",
       always(heat + " implies not (fact.clock_jump or fact.scan_overrun)")},
      {"REQ-HEAT-17", "R-GATE", "heating that loses its inert gas ends in the next scan",
       always(was(loses_inert_gas) + " implies not " + heating)},
  };
}

}  // namespace ovenproof::prove
