#include "sim/prove/interlocks.hpp"

#include <utility>

namespace ovenproof::prove {
namespace {

using std::string;

// --- words that several requirements share ---

const string heat = "(command.k1 or command.k2 or command.heater_drive)";
const string gas = "(command.purge_valve or command.process_valve)";
const string anything = "(" + heat +
                        " or command.fan or command.purge_valve or command.process_valve"
                        " or command.damper or command.blower)";
const string at_rest = "(phase in {tripped, standby})";

/// What no reset and no phase excuses: with it nothing may be energised.
const string general_fault =
    "(not fact.estop_healthy or not fact.settings_valid or fact.clock_jump or fact.scan_overrun"
    " or fact.door_contacts_disagree or not fact.door_closed)";

/// The purge has done its work: purge gas flowed up to this scan, the volumes are complete and
/// oxygen was held below the gate.
const string gate_met =
    "(falls(command.purge_valve) and fact.purge_volumes_reached and"
    " (not option.oxygen_monitor or"
    " (fact.oxygen_valid and fact.oxygen_at_gate and fact.gate_hold_elapsed)))";

/// Power-up needs no word here: there is no gate before it.
const string inert_lost =
    "(first_out != none or not fact.door_closed or not fact.gas_supply_ok or"
    " (option.oxygen_monitor and fact.oxygen_above_hold))";

/// Tripped by what says that the oven is not as hot as it reads, or that nobody knows.
const string temperature_in_doubt =
    "(first_out in {limiter_tripped, temperature_invalid, thermocouples_disagree,"
    " temperature_rate_implausible, no_temperature_rise, rise_without_demand})";

/// The load is hot, and was inert when heat began, and the chamber has stayed shut.
const string hot_and_inert =
    "((fact.door_closed and fact.estop_healthy and fact.settings_valid and"
    " not fact.clock_jump and not fact.scan_overrun and"
    " not fact.door_contacts_disagree and phase != unloading and"
    " not (" +
    at_rest + " and fact.cool_to_unload and fact.gas_settled and not " + temperature_in_doubt +
    ")) since " + gate_met + ")";

// A press counts only where the button is watched, and there it must have been up in the scan
// before.
const string start_pressed_anew =
    "(fact.start_pressed and falls(phase = standby and not fact.start_pressed))";
const string reset_pressed_anew =
    "(fact.reset_pressed and falls(phase = tripped and not fact.reset_pressed))";
const string door_closed_anew =
    "(fact.door_closed and falls(phase = standby and not fact.door_closed))";

/// The programme ran to its end in this cycle.
const string completed =
    "((first_out = none and not command.programme_restart) since"
    " (falls(phase = soak) and phase = cooling and fact.soak_complete and fact.last_segment))";

/// The last cycle ended normally and the door was opened to unload it, and nothing abnormal came
/// since.
const string armed_by_unloading =
    "((first_out = none and not command.programme_restart and not fact.arm_expiry_elapsed and"
    " not fact.stop_pressed) since"
    " (falls(phase = unloading) and fact.door_open and " +
    completed + "))";

string always(const string& claim) { return "always (" + claim + ")"; }
string never(const string& claim) { return "never (" + claim + ")"; }

/// Of the scan before this one; before the first all was off.
string was(const string& condition) {
  return "((" + condition + " and not rises(" + condition + ")) or falls(" + condition + "))";
}

/// "A proof that is not as the output was before has had its time."
string disproved(const string& output, const string& proof, const string& timer) {
  return "(" + output + " and " + proof + " and fact." + timer + "_elapsed)";
}

/// "The cause has been there for its time."
string late(const string& cause, const string& timer) {
  return "(" + cause + " and fact." + timer + "_elapsed)";
}

/// "Each of these first-outs comes only with its cause."
string named(const std::vector<std::pair<string, string>>& first_outs) {
  string text;
  for (const auto& [first_out, cause] : first_outs) {
    text += (text.empty() ? "" : " and ");
    text += "(rises(first_out = " + first_out + ") implies " + cause + ")";
  }
  return text;
}

/// "The output is on a second time although its proof has been missing for its time."
string on_without_proof(const string& output, const string& proof, const string& timer) {
  return always("(" + output + " and not rises(" + output + ")) implies (" + proof +
                " or not fact." + timer + "_elapsed)");
}

}  // namespace

std::vector<Interlock> interlocks(const logic::Options& options) {
  const bool oxygen = options.oxygen_monitor;
  const bool jacket = options.jacket_cooling;
  return {
      // --- heat ---
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
       always(heat + " implies ((not " + inert_lost + ") since " + gate_met + ")")},
      {"REQ-HEAT-08", "R-HOLD", "no heat while oxygen is above the hold limit",
       always(heat + " implies not fact.oxygen_above_hold"), oxygen},
      {"REQ-HEAT-09", "R-FLOW-MISSING", "heat only while process gas is proven to flow",
       always(heat + " implies fact.process_flow")},
      {"REQ-HEAT-10", "R-CONTACTOR-CLOSE", "the heater fires only behind both contactors",
       always("command.heater_drive implies (command.k1 and command.k2)")},
      {"REQ-HEAT-11", "R-GATE",
       "after any interruption of heating heat comes back only by a new purge",
       always(heat + " implies ((phase in {ramp, soak}) since " + gate_met + ")")},
      {"REQ-HEAT-12", "R-START-EDGE", "heat only in a cycle that a start began",
       always(heat + " implies ((not " + at_rest + ") since command.programme_restart)")},
      {"REQ-HEAT-13", "R-STOP", "stop takes the heat away in the same scan",
       always(heat + " implies not fact.stop_pressed")},
      {"REQ-HEAT-14", "R-FLOW-UNEXPECTED",
       "heat only while the process valve is on, so that proven flow is its flow",
       always(heat + " implies (command.process_valve or falls(command.process_valve))")},
      {"REQ-HEAT-15", "R-SOAK", "each segment is ramped and soaked to its end, unless broken off",
       always("(rises(phase = soak) implies fact.ramp_complete) and"
              " ((falls(phase = soak) and phase = ramp) implies"
              " (fact.soak_complete and not fact.last_segment and command.programme_advance)) and"
              " ((falls(phase in {ramp, soak}) and phase = cooling) implies"
              " (fact.stop_pressed or (fact.soak_complete and fact.last_segment)))")},
      // --- gas ---
      {"REQ-GAS-01", "R-GAS-PATHS", "never both gas paths",
       never("command.purge_valve and command.process_valve")},
      {"REQ-GAS-02", "R-GAS-PATHS",
       "one path opens only when the other is proven to be without flow",
       always("(rises(command.purge_valve) implies not fact.process_flow) and"
              " (rises(command.process_valve) implies not fact.purge_flow)")},
      {"REQ-GAS-03", "R-GAS-PATHS", "between two gas paths both are shut for the changeover time",
       always("(changes(gas_path) and gas_path != shut) implies"
              " (falls(gas_path = shut) and fact.changeover_elapsed)")},
      {"REQ-GAS-04", "R-DOOR-OPEN", "no gas unless the door is proven closed",
       always(gas + " implies fact.door_closed")},
      {"REQ-GAS-05", "R-GATE-RESTART",
       "volume changes are counted only while purge gas is on and circulation is proven",
       always("command.count_purge implies"
              " (command.purge_valve and command.fan and fact.fan_running)")},
      // --- jacket cooling ---
      {"REQ-COOL-01", "R-BLOWER", "blowers only on a damper that is proven open",
       always("command.blower implies (command.damper and fact.damper_open)"), jacket},
      {"REQ-COOL-02", "R-DAMPER", "the damper opens only when the cycle cools",
       always("command.damper implies phase in {cooling, flushing}"), jacket},
      {"REQ-COOL-03", "R-DAMPER", "never heat and cooling air together",
       never(heat + " and (command.damper or command.blower)"), jacket},
      {"REQ-COOL-04", "R-DAMPER",
       "a machine without jacket cooling drives neither damper nor blowers",
       never("command.damper or command.blower"), !jacket},
      // --- start ---
      {"REQ-START-01", "R-POWER-RETURN", "nothing is energised in the first scan after power-up",
       "initially (not " + anything + ")"},
      {"REQ-START-02", "R-POWER-RETURN",
       "after power-up nothing is energised before reset is pressed anew",
       always(anything + " implies once " + reset_pressed_anew)},
      {"REQ-START-03", "R-START-EDGE", "a cycle starts only by a fresh press of start",
       always("command.programme_restart implies " + start_pressed_anew), !options.start_by_door},
      {"REQ-START-04", "R-START-EDGE",
       "a cycle starts only by a fresh press of start, or by the door closing when armed",
       always("command.programme_restart implies (" + start_pressed_anew + " or " +
              door_closed_anew + ")"),
       options.start_by_door},
      {"REQ-START-05", "R-START-ARMED",
       "the door's closing is armed only by opening the door to unload a cycle that ended normally",
       always("armed implies " + armed_by_unloading), options.start_by_door},
      {"REQ-START-06", "R-START-UNEXPECTED",
       "without a fresh press of start a cycle starts only when it was armed",
       always("(command.programme_restart and not " + start_pressed_anew +
              ") implies falls(armed)"),
       options.start_by_door},
      {"REQ-START-07", "R-START-EDGE",
       "a cycle starts only with the door closed and stop not pressed",
       always("command.programme_restart implies (fact.door_closed and not fact.stop_pressed)")},
      {"REQ-START-08", "R-START-EDGE", "a cycle starts only from standby",
       always("command.programme_restart implies falls(phase = standby)")},
      {"REQ-START-09", "R-START-UNEXPECTED",
       "at rest nothing comes on by itself but process gas over a hot inert load",
       always(at_rest +
              " implies not (rises(command.k1) or rises(command.k2) or rises(command.heater_drive)"
              " or rises(command.fan) or rises(command.purge_valve) or rises(command.damper) or"
              " rises(command.blower))")},
      {"REQ-START-10", "R-START-UNEXPECTED",
       "at rest process gas flows only over a load that is hot and inert",
       always("(" + at_rest + " and command.process_valve) implies " + hot_and_inert)},
      {"REQ-STOP-01", "R-STOP", "stop ends every purge before heat and all heating",
       always("fact.stop_pressed implies not (phase in {purging, ramp, soak, repurging})")},
      // --- trip and reset ---
      {"REQ-TRIP-01", "R-RESET", "a trip ends only by a fresh press of reset, and in standby",
       always("falls(phase = tripped) implies (" + reset_pressed_anew + " and phase = standby)")},
      {"REQ-TRIP-02", "R-RESET", "a trip ends only with its causes gone",
       always("falls(phase = tripped) implies"
              " (fact.estop_healthy and fact.limiter_healthy and fact.settings_valid and"
              " not fact.clock_jump and not fact.scan_overrun and not fact.over_temperature and"
              " not fact.door_contacts_disagree and not fact.rise_without_demand and"
              " fact.k1_open and fact.k2_open)")},
      {"REQ-TRIP-03", "R-FIRST-OUT", "tripped and a first-out go together",
       always("(phase = tripped implies first_out != none) and"
              " (first_out != none implies phase = tripped)")},
      {"REQ-TRIP-04", "R-FIRST-OUT", "the first-out stays until reset",
       always("changes(first_out) implies (rises(first_out = none) or falls(first_out = none))")},
      {"REQ-TRIP-05", "R-FIRST-OUT",
       "the first-out names a cause that was there, for its time if it has one",
       always(
           named({{"emergency_stop", "not fact.estop_healthy"},
                  {"limiter_tripped", "not fact.limiter_healthy"},
                  {"settings_invalid", "not fact.settings_valid"},
                  {"clock_jump", "fact.clock_jump"},
                  {"scan_overrun", "fact.scan_overrun"},
                  {"door_opened_in_cycle", "not fact.door_closed"},
                  {"door_contacts_disagree", "fact.door_contacts_disagree"},
                  {"over_temperature", "fact.over_temperature"},
                  {"temperature_invalid", "not fact.temperature_valid"},
                  {"thermocouples_disagree", "fact.thermocouples_disagree"},
                  {"temperature_rate_implausible", "fact.temperature_rate_implausible"},
                  {"no_temperature_rise", "fact.no_temperature_rise"},
                  {"rise_without_demand", "fact.rise_without_demand"},
                  {"oxygen_invalid", "(not fact.oxygen_valid or fact.oxygen_failed)"},
                  {"oxygen_air_check_failed", "fact.oxygen_air_check_failed"},
                  {"oxygen_not_falling", "fact.oxygen_not_falling"},
                  {"oxygen_falls_too_soon", "fact.oxygen_falls_too_soon"},
                  {"oxygen_frozen", "fact.oxygen_frozen"},
                  {"damper_switches_contradict", "(fact.damper_open and fact.damper_closed)"},
                  {"gate_not_met_in_time", "fact.purge_timeout_elapsed"},
                  {"heating_not_done_in_time", "fact.heating_timeout_elapsed"},
                  {"gas_supply_lost", late("not fact.gas_supply_ok", "supply_lost")},
                  {"purge_flow_missing", late("not fact.purge_flow", "purge_flow_missing")},
                  {"process_flow_missing", late("not fact.process_flow", "process_flow_missing")},
                  {"purge_flow_unexpected", late("fact.purge_flow", "purge_flow_unexpected")},
                  {"process_flow_unexpected", late("fact.process_flow", "process_flow_unexpected")},
                  {"fan_not_proven", late("not fact.fan_running", "fan_not_proven")},
                  {"fan_unexpected", late("fact.fan_running", "fan_unexpected")},
                  {"k1_welded", late("not fact.k1_open", "k1_not_open")},
                  {"k2_welded", late("not fact.k2_open", "k2_not_open")},
                  {"k1_not_closed", late("fact.k1_open", "k1_not_closed")},
                  {"k2_not_closed", late("fact.k2_open", "k2_not_closed")},
                  {"damper_not_open", late("not fact.damper_open", "damper_not_open")},
                  {"damper_not_closed", late("not fact.damper_closed", "damper_not_closed")},
                  {"blower_not_proven", late("not fact.blower_running", "blower_not_proven")},
                  {"blower_unexpected", late("fact.blower_running", "blower_unexpected")}}))},
      {"REQ-TRIP-06", "R-FIRST-OUT",
       "the first-out names the first cause: what trips in a scan is latched in it",
       always("phase in {purging, ramp, soak, repurging, cooling, flushing} implies"
              " (fact.estop_healthy and fact.limiter_healthy and fact.settings_valid and"
              " not fact.clock_jump and not fact.scan_overrun and fact.door_closed and"
              " not fact.door_contacts_disagree)")},
      {"REQ-TRIP-07", "R-RESET", "tripped, neither heat nor purge gas nor cooling air is energised",
       never("phase = tripped and (" + heat +
             " or command.purge_valve or command.damper or command.blower)")},
      {"REQ-TRIP-08", "R-ESTOP", "a general fault takes everything away in the same scan",
       always(anything + " implies not " + general_fault)},
      {"REQ-TRIP-09", "R-FAN-PROOF", "a fan that is not proven in its time is switched off",
       on_without_proof("command.fan", "fact.fan_running", "fan_not_proven")},
      {"REQ-TRIP-10", "R-FLOW-MISSING", "a purge valve without purge flow in its time is shut",
       on_without_proof("command.purge_valve", "fact.purge_flow", "purge_flow_missing")},
      {"REQ-TRIP-11", "R-FLOW-MISSING", "a process valve without process flow in its time is shut",
       on_without_proof("command.process_valve", "fact.process_flow", "process_flow_missing")},
      {"REQ-TRIP-12", "R-DAMPER", "a damper that is not proven open in its time is let go",
       on_without_proof("command.damper", "fact.damper_open", "damper_not_open"), jacket},
      {"REQ-TRIP-13", "R-BLOWER", "blowers that are not proven in their time are switched off",
       on_without_proof("command.blower", "fact.blower_running", "blower_not_proven"), jacket},
      {"REQ-TRIP-14", "R-CONTACTOR-CLOSE",
       "a contactor that does not close in its time takes the heat away",
       always("((command.k1 and not rises(command.k1)) implies"
              " (not fact.k1_open or not fact.k1_not_closed_elapsed)) and"
              " ((command.k2 and not rises(command.k2)) implies"
              " (not fact.k2_open or not fact.k2_not_closed_elapsed))")},
      {"REQ-TRIP-15", "R-GAS-SUPPLY", "the heat goes when the gas supply goes",
       always(heat + " implies fact.gas_supply_ok")},
      {"REQ-TRIP-16", "R-SOAK", "a cycle that does not end its heating in time loses the heat",
       always(heat + " implies (rises(" + heat + ") or not fact.heating_timeout_elapsed)")},
      {"REQ-TRIP-17", "R-TEMPERATURE-NO-RISE",
       "heat that makes nothing hotter, or goes on without a sound cause, is cut",
       always("(" + heat + " and not rises(" + heat + ")) implies not fact.no_temperature_rise")},
      {"REQ-TRIP-18", "R-LIMITER",
       "what is a fault in any phase is tripped in the scan that sees it",
       always("(not fact.estop_healthy or not fact.limiter_healthy or not fact.settings_valid or"
              " fact.clock_jump or fact.scan_overrun or fact.door_contacts_disagree or"
              " fact.over_temperature or (option.jacket_cooling and fact.damper_open and"
              " fact.damper_closed)) implies first_out != none")},
      {"REQ-TRIP-19", "R-TEMPERATURE-VALID",
       "no cycle goes on without a valid, plausible temperature and without gas supply",
       always("phase in {purging, ramp, soak, repurging, cooling, flushing} implies"
              " (fact.temperature_valid and not fact.thermocouples_disagree and"
              " not fact.temperature_rate_implausible and"
              " (fact.gas_supply_ok or not fact.supply_lost_elapsed))")},
      {"REQ-TRIP-20", "R-TEMPERATURE-NO-RISE",
       "no heating goes on that makes nothing hotter or takes too long, and no heat without "
       "heating",
       always("((phase in {ramp, soak} and not rises(phase in {ramp, soak})) implies"
              " (not fact.no_temperature_rise and not fact.heating_timeout_elapsed)) and"
              " ((not " +
              was("(phase in {ramp, soak})") +
              " and fact.rise_without_demand) implies first_out != none)")},
      {"REQ-TRIP-21", "R-GATE-TIMEOUT", "no purge before heat goes on beyond its time",
       always("(phase in {purging, repurging} and not rises(phase in {purging, repurging})) implies"
              " not fact.purge_timeout_elapsed")},
      {"REQ-TRIP-22", "R-OXYGEN-VALID", "no cycle goes on with an oxygen reading that cannot be so",
       always("((" + was("(phase in {purging, repurging})") +
              " and (fact.oxygen_failed or fact.oxygen_frozen or fact.oxygen_not_falling or"
              " fact.oxygen_falls_too_soon)) implies first_out != none) and"
              " ((" +
              was("(phase in {ramp, soak})") +
              " and (not fact.oxygen_valid or fact.oxygen_frozen)) implies first_out != none) and"
              " ((phase != tripped and not falls(phase = tripped)) implies"
              " not fact.oxygen_air_check_failed)"),
       oxygen},
      {"REQ-TRIP-23", "R-CONTACTOR-WELDED",
       "a contactor or fan that does not follow its output is tripped",
       always("(" + disproved(was("command.fan"), "not fact.fan_running", "fan_not_proven") +
              " or " +
              disproved("not " + was("command.fan"), "fact.fan_running", "fan_unexpected") +
              " or " + disproved("not " + was("command.k1"), "not fact.k1_open", "k1_not_open") +
              " or " + disproved("not " + was("command.k2"), "not fact.k2_open", "k2_not_open") +
              " or " + disproved(was("command.k1"), "fact.k1_open", "k1_not_closed") + " or " +
              disproved(was("command.k2"), "fact.k2_open", "k2_not_closed") +
              ") implies first_out != none")},
      {"REQ-TRIP-24", "R-FLOW-UNEXPECTED", "a gas flow that does not follow its valve is tripped",
       always("(" +
              disproved(was("command.purge_valve"), "not fact.purge_flow", "purge_flow_missing") +
              " or " +
              disproved("not " + was("command.purge_valve"), "fact.purge_flow",
                        "purge_flow_unexpected") +
              " or " +
              disproved(was("command.process_valve"), "not fact.process_flow",
                        "process_flow_missing") +
              " or " +
              disproved("not " + was("command.process_valve"), "fact.process_flow",
                        "process_flow_unexpected") +
              ") implies first_out != none")},
      {"REQ-TRIP-25", "R-DAMPER", "a damper or blower that does not follow its output is tripped",
       always(
           "(" + disproved(was("command.damper"), "not fact.damper_open", "damper_not_open") +
           " or " +
           disproved("not " + was("command.damper"), "not fact.damper_closed",
                     "damper_not_closed") +
           " or " +
           disproved(was("command.blower"), "not fact.blower_running", "blower_not_proven") +
           " or " +
           disproved("not " + was("command.blower"), "fact.blower_running", "blower_unexpected") +
           ") implies first_out != none"),
       jacket},
      // --- fan and end of the cycle ---
      {"REQ-FAN-01", "R-FAN-RUN-ON",
       "the fan runs on until the elements are cool, unless a fault takes it away",
       always("falls(command.fan) implies (fact.elements_cool or " + general_fault +
              " or (not fact.fan_running and fact.fan_not_proven_elapsed))")},
      {"REQ-FAN-02", "R-FAN-PROOF", "the fan is on in every phase with heat, purge or cooling",
       always("phase in {purging, ramp, soak, repurging, cooling, flushing} implies command.fan")},
      {"REQ-END-01", "R-UNLOAD",
       "the oven is opened for unloading only when cool and its gas settled",
       always("rises(phase = unloading) implies (fact.cool_to_unload and fact.gas_settled)")},
      {"REQ-END-02", "R-UNLOAD", "unloading follows only on a cycle that was heated or cooled",
       always("rises(phase = unloading) implies"
              " falls(phase in {ramp, soak, repurging, cooling, flushing})")},
      // --- what all the others lean on ---
      {"REQ-SAY-01", "", "what the logic commands and reports is what it remembers",
       always("answer.as_remembered")},
      {"REQ-SAY-02", "", "the logic looks at no timer that it does not run",
       always("answer.timers_run")},
  };
}

}  // namespace ovenproof::prove
