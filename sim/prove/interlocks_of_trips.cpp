#include <utility>

#include "sim/prove/interlock_groups.hpp"
#include "sim/prove/interlock_words.hpp"

namespace ovenproof::prove {
namespace {

using namespace words;
using logic::Timer;

/// "Each of these first-outs comes only with its cause."
std::string named(const std::vector<std::pair<std::string, std::string>>& first_outs) {
  std::string text;
  for (const auto& [first_out, cause] : first_outs) {
    text += (text.empty() ? "" : " and ");
    text += "(rises(first_out = " + first_out + ") implies " + cause + ")";
  }
  return text;
}

/// The first-outs that the machine can have, each with the cause that must be there.
std::vector<std::pair<std::string, std::string>> first_outs(const logic::Options& options) {
  // A first-out answers to what the logic was told.
  const Delays told;
  std::vector<std::pair<std::string, std::string>> all{
      {"emergency_stop", "not fact.estop_healthy"},
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
      {"gate_not_met_in_time", "fact.purge_timeout_elapsed"},
      {"heating_not_done_in_time", "fact.heating_timeout_elapsed"},
      {"cooling_not_done_in_time", "fact.cooling_timeout_elapsed"},
      {"gas_supply_lost", told.over("not fact.gas_supply_ok", Timer::supply_lost)},
      {"purge_flow_missing", told.over(was("command.purge_valve") + " and not fact.purge_flow",
                                       Timer::purge_flow_missing)},
      {"process_flow_missing",
       told.over(was("command.process_valve") + " and not fact.process_flow",
                 Timer::process_flow_missing)},
      {"purge_flow_unexpected",
       told.over("not " + was("command.purge_valve") + " and fact.purge_flow",
                 Timer::purge_flow_unexpected)},
      {"process_flow_unexpected",
       told.over("not " + was("command.process_valve") + " and fact.process_flow",
                 Timer::process_flow_unexpected)},
      {"fan_not_proven",
       told.over(was("command.fan") + " and not fact.fan_running", Timer::fan_not_proven)},
      {"fan_unexpected",
       told.over("not " + was("command.fan") + " and fact.fan_running", Timer::fan_unexpected)},
      {"k1_welded",
       told.over("not " + was("command.k1") + " and not fact.k1_open", Timer::k1_not_open)},
      {"k2_welded",
       told.over("not " + was("command.k2") + " and not fact.k2_open", Timer::k2_not_open)},
      {"k1_not_closed", told.over(was("command.k1") + " and fact.k1_open", Timer::k1_not_closed)},
      {"k2_not_closed", told.over(was("command.k2") + " and fact.k2_open", Timer::k2_not_closed)}};
  const auto add = [&all](std::vector<std::pair<std::string, std::string>> more) {
    all.insert(all.end(), more.begin(), more.end());
  };
  if (options.oxygen_monitor) {
    add({{"oxygen_invalid", "(not fact.oxygen_valid or fact.oxygen_failed)"},
         {"oxygen_air_check_failed", "fact.oxygen_air_check_failed"},
         {"oxygen_not_falling", "fact.oxygen_not_falling"},
         {"oxygen_falls_too_soon", "fact.oxygen_falls_too_soon"},
         {"oxygen_frozen", "fact.oxygen_frozen"}});
  }
  if (options.jacket_cooling) {
    add({{"damper_switches_contradict", "(fact.damper_open and fact.damper_closed)"},
         {"damper_not_open",
          told.over(was("command.damper") + " and not fact.damper_open", Timer::damper_not_open)},
         {"damper_not_closed",
          told.over("not " + was("command.damper") + " and not fact.damper_closed",
                    Timer::damper_not_closed)},
         {"blower_not_proven", told.over(was("command.blower") + " and not fact.blower_running",
                                         Timer::blower_not_proven)},
         {"blower_unexpected",
          told.over("not " + was("command.blower") + " and fact.blower_running",
                    Timer::blower_unexpected)}});
  }
  return all;
}

/// "None of these first-outs comes."
std::string none_of(const std::vector<std::string>& first_outs) {
  std::string text;
  for (const std::string& first_out : first_outs) {
    text += (text.empty() ? "" : " or ") + ("rises(first_out = " + first_out + ")");
  }
  return never(text);
}

/// "An output that stays on is not without its proof for its time."
std::string off_without_proof(const Delays& delays, const std::string& output,
                              const std::string& missing, Timer timer) {
  return "(" + still(output) + " implies not " + delays.over(output + " and " + missing, timer) +
         ")";
}

/// "and the proof is there if, and only if, the output was on".
std::string as_commanded(const std::string& output, const std::string& proof) {
  return " and (" + proof + " implies " + was(output) + ") and (" + was(output) + " implies " +
         proof + ")";
}

}  // namespace

std::vector<Interlock> interlocks_of_trips(const logic::Options& options, const Delays& delays) {
  const bool oxygen = options.oxygen_monitor;
  const bool jacket = options.jacket_cooling;
  return {
      {"REQ-TRIP-01", "R-RESET", "a trip ends only by a fresh press of reset, and in standby",
       always("falls(phase = tripped) implies (" + reset_pressed_anew + " and phase = standby)")},
      {"REQ-TRIP-02", "R-RESET",
       "a trip ends only when each cause is gone that is looked at while tripped",
       always("falls(phase = tripped) implies"
              " (fact.estop_healthy and fact.limiter_healthy and fact.settings_valid and"
              " not fact.clock_jump and not fact.scan_overrun and not fact.over_temperature and"
              " not fact.door_contacts_disagree and not fact.rise_without_demand and"
              " fact.k1_open and fact.k2_open" +
              as_commanded("command.purge_valve", "fact.purge_flow") +
              as_commanded("command.process_valve", "fact.process_flow") +
              as_commanded("command.fan", "fact.fan_running") +
              (jacket ? " and fact.damper_closed and not fact.damper_open and"
                        " not fact.blower_running)"
                      : ")"))},
      {"REQ-TRIP-03", "R-FIRST-OUT", "tripped and a first-out go together",
       always("(phase = tripped implies first_out != none) and"
              " (first_out != none implies phase = tripped)")},
      {"REQ-TRIP-04", "R-FIRST-OUT", "the first-out stays until reset",
       always("changes(first_out) implies (rises(first_out = none) or falls(first_out = none))")},
      {"REQ-TRIP-05", "R-FIRST-OUT",
       "the first-out names a cause that was there, for its time if it has one",
       always(named(first_outs(options)))},
      {"REQ-TRIP-06", "R-FIRST-OUT",
       "the first-out names the first cause: what trips in a scan is latched in it",
       always("phase in {purging, ramp, soak, repurging, cooling, flushing} implies"
              " (fact.estop_healthy and fact.limiter_healthy and fact.settings_valid and"
              " not fact.clock_jump and not fact.scan_overrun and fact.door_closed and"
              " not fact.door_contacts_disagree)")},
      {"REQ-TRIP-07", "R-RESET", "tripped, neither heat nor cooling air is energised",
       never("phase = tripped and (" + heat + " or command.damper or command.blower)")},
      {"REQ-TRIP-08", "R-ESTOP", "a general fault takes everything away in the same scan",
       always(anything_energised(jacket) + " implies not " + general_fault)},
      {"REQ-TRIP-09", "R-FAN-PROOF", "a fan that is not proven in its time is switched off",
       always(off_without_proof(delays, "command.fan", "not fact.fan_running",
                                Timer::fan_not_proven))},
      {"REQ-TRIP-10", "R-FLOW-MISSING", "a purge valve without purge flow in its time is shut",
       always(off_without_proof(delays, "command.purge_valve", "not fact.purge_flow",
                                Timer::purge_flow_missing))},
      {"REQ-TRIP-11", "R-FLOW-MISSING", "a process valve without process flow in its time is shut",
       always(off_without_proof(delays, "command.process_valve", "not fact.process_flow",
                                Timer::process_flow_missing))},
      {"REQ-TRIP-12", "R-DAMPER", "a damper that is not proven open in its time is let go",
       always(off_without_proof(delays, "command.damper", "not fact.damper_open",
                                Timer::damper_not_open)),
       jacket},
      {"REQ-TRIP-13", "R-BLOWER", "blowers that are not proven in their time are switched off",
       always(off_without_proof(delays, "command.blower", "not fact.blower_running",
                                Timer::blower_not_proven)),
       jacket},
      {"REQ-TRIP-14", "R-CONTACTOR-CLOSE",
       "a contactor that does not close in its time takes the heat away",
       always(off_without_proof(delays, "command.k1", "fact.k1_open", Timer::k1_not_closed) +
              " and " +
              off_without_proof(delays, "command.k2", "fact.k2_open", Timer::k2_not_closed))},
      {"REQ-TRIP-15", "R-GAS-SUPPLY", "the heat goes when the gas supply goes",
       always(heat + " implies fact.gas_supply_ok")},
      {"REQ-TRIP-16", "R-SOAK", "a cycle that does not end its heating in time loses the heat",
       always(still(heat) + " implies not " + delays.over(heating, Timer::heating_timeout))},
      {"REQ-TRIP-17", "R-TEMPERATURE-NO-RISE",
       "heat that makes nothing hotter, or goes on without a sound cause, is cut",
       always("(" + heat + " and not rises(" + heat + ")) implies not fact.no_temperature_rise")},
      {"REQ-TRIP-18", "R-LIMITER",
       "what is a fault in any phase is tripped in the scan that sees it",
       always("(not fact.estop_healthy or not fact.limiter_healthy or not fact.settings_valid or"
              " fact.clock_jump or fact.scan_overrun or fact.door_contacts_disagree or"
              " fact.over_temperature or fact.rise_without_demand" +
              std::string(jacket ? " or (fact.damper_open and fact.damper_closed)" : "") +
              ") implies first_out != none")},
      {"REQ-TRIP-19", "R-TEMPERATURE-VALID",
       "no cycle goes on without a valid, plausible temperature and without gas supply",
       always("phase in {purging, ramp, soak, repurging, cooling, flushing} implies"
              " (fact.temperature_valid and not fact.thermocouples_disagree and"
              " not fact.temperature_rate_implausible and not " +
              delays.over("not fact.gas_supply_ok", Timer::supply_lost) + ")")},
      {"REQ-TRIP-20", "R-TEMPERATURE-NO-RISE",
       "no heating goes on that makes nothing hotter or takes too long",
       always("(" + still(heating) + " implies not (fact.no_temperature_rise or " +
              delays.over(heating, Timer::heating_timeout) + "))")},
      {"REQ-TRIP-21", "R-GATE-TIMEOUT", "purge and re-purge end at their time limit",
       always(still("(phase in {purging, repurging})") + " implies not " +
              delays.over("phase in {purging, repurging}", Timer::purge_timeout))},
      {"REQ-TRIP-30", "R-COOLING-TIMEOUT", "cooling with its flushes ends at its time limit",
       always(still("(phase in {cooling, flushing})") + " implies not " +
              delays.over("phase in {cooling, flushing}", Timer::cooling_timeout))},
      {"REQ-TRIP-22", "R-OXYGEN-VALID",
       "purge, ramp and soak trip on an oxygen reading that cannot be so; cooling does not",
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
       always(
           "(" +
           delays.over(was("command.fan") + " and not fact.fan_running", Timer::fan_not_proven) +
           " or " +
           delays.over("not " + was("command.fan") + " and fact.fan_running",
                       Timer::fan_unexpected) +
           " or " +
           delays.over("not " + was("command.k1") + " and not fact.k1_open", Timer::k1_not_open) +
           " or " +
           delays.over("not " + was("command.k2") + " and not fact.k2_open", Timer::k2_not_open) +
           " or " + delays.over(was("command.k1") + " and fact.k1_open", Timer::k1_not_closed) +
           " or " + delays.over(was("command.k2") + " and fact.k2_open", Timer::k2_not_closed) +
           ") implies first_out != none")},
      {"REQ-TRIP-24", "R-FLOW-UNEXPECTED", "a gas flow that does not follow its valve is tripped",
       always("(" +
              delays.over(was("command.purge_valve") + " and not fact.purge_flow",
                          Timer::purge_flow_missing) +
              " or " +
              delays.over("not " + was("command.purge_valve") + " and fact.purge_flow",
                          Timer::purge_flow_unexpected) +
              " or " +
              delays.over(was("command.process_valve") + " and not fact.process_flow",
                          Timer::process_flow_missing) +
              " or " +
              delays.over("not " + was("command.process_valve") + " and fact.process_flow",
                          Timer::process_flow_unexpected) +
              ") implies first_out != none")},
      {"REQ-TRIP-25", "R-DAMPER", "a damper or blower that does not follow its output is tripped",
       always("(" +
              delays.over(was("command.damper") + " and not fact.damper_open",
                          Timer::damper_not_open) +
              " or " +
              delays.over("not " + was("command.damper") + " and not fact.damper_closed",
                          Timer::damper_not_closed) +
              " or " +
              delays.over(was("command.blower") + " and not fact.blower_running",
                          Timer::blower_not_proven) +
              " or " +
              delays.over("not " + was("command.blower") + " and fact.blower_running",
                          Timer::blower_unexpected) +
              ") implies first_out != none"),
       jacket},
      {"REQ-TRIP-26", "R-RESET",
       "an accepted reset is told to the instruments, and nothing else is",
       always("(falls(phase = tripped) implies command.acknowledge) and"
              " (command.acknowledge implies falls(phase = tripped))")},
      {"REQ-TRIP-29", "R-FIRST-OUT",
       "power-up and restart are first-outs from the start, never later",
       none_of({"power_up", "watchdog_restart"})},
      {"REQ-TRIP-27", "R-FIRST-OUT", "an oven without oxygen monitor is tripped by none",
       none_of({"oxygen_invalid", "oxygen_air_check_failed", "oxygen_not_falling",
                "oxygen_falls_too_soon", "oxygen_frozen"}),
       !oxygen},
      {"REQ-TRIP-28", "R-FIRST-OUT", "an oven without jacket cooling is tripped by none",
       none_of({"damper_switches_contradict", "damper_not_open", "damper_not_closed",
                "blower_not_proven", "blower_unexpected"}),
       !jacket},
  };
}

}  // namespace ovenproof::prove
