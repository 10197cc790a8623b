#include "sim/prove/interlock_groups.hpp"
#include "sim/prove/interlock_words.hpp"

/// What a timer measures is the logic's to say: the timer bank only counts. So each must be
/// commanded to run exactly while its cause lasts, or its time is not that of the settings.
namespace ovenproof::prove {
namespace {

using namespace words;
using logic::Timer;

std::string runs(Timer timer) { return std::string("timer.") + name_of(timer); }

/// It runs only while its cause lasts, and then in every scan without a trip.
Interlock exactly(const char* id, const char* covers, const char* title, Timer timer,
                  const std::string& cause, bool applies = true,
                  const std::string& unless_tripped = "first_out = none") {
  return {id, covers, title,
          always("(" + runs(timer) + " implies " + cause + ") and ((" + cause + " and " +
                 unless_tripped + ") implies " + runs(timer) + ")"),
          applies};
}

/// The cause of a missing proof. It is timed as long as the output stays on, tripped or not.
Interlock missing(const char* id, const char* covers, const char* title, Timer timer,
                  const std::string& output, const std::string& proof, bool applies = true) {
  return exactly(id, covers, title, timer, "(" + was(output) + " and not " + proof + ")", applies,
                 "(first_out = none or " + output + ")");
}

/// The cause of a proof that nothing explains.
Interlock unexpected(const char* id, const char* covers, const char* title, Timer timer,
                     const std::string& output, const std::string& proof, bool applies = true) {
  return exactly(id, covers, title, timer, "(not " + was(output) + " and " + proof + ")", applies);
}

}  // namespace

std::vector<Interlock> interlocks_of_timers(const logic::Options& options) {
  const bool oxygen = options.oxygen_monitor;
  const bool jacket = options.jacket_cooling;
  return {
      {"REQ-TIME-01", "R-GATE",
       "the hold at the gate is timed exactly while a purge flows and oxygen is at the gate",
       always("(timer.gate_hold implies (" + was("(phase in {purging, repurging, flushing})") +
              " and " + was("command.purge_valve") +
              " and fact.oxygen_valid and fact.oxygen_at_gate)) and ((" +
              was("(phase in {purging, repurging, flushing})") + " and " +
              was("command.purge_valve") +
              " and fact.oxygen_valid and fact.oxygen_at_gate and first_out = none and"
              " not fact.stop_pressed) implies timer.gate_hold)"),
       oxygen},
      {"REQ-TIME-02", "R-GATE", "without oxygen monitor no hold at the gate is timed",
       never("timer.gate_hold"), !oxygen},
      {"REQ-TIME-03", "R-GAS-PATHS",
       "the changeover is timed exactly while both gas paths are shut",
       always("(timer.changeover implies " + was("(gas_path = shut)") + ") and (" +
              was("(gas_path = shut)") + " implies timer.changeover)")},
      {"REQ-TIME-04", "R-START-ARMED", "the arming is timed exactly while it lasts",
       always("(timer.arm_expiry implies (" + was("armed") +
              " or falls(phase = unloading))) and (armed implies timer.arm_expiry)"),
       options.start_by_door},
      exactly("REQ-TIME-05", "R-GATE-TIMEOUT", "the purge is timed exactly while it lasts",
              Timer::purge_timeout, was("(phase in {purging, repurging})")),
      exactly("REQ-TIME-06", "R-SOAK", "the heating is timed exactly while it lasts",
              Timer::heating_timeout, was(heating)),
      exactly("REQ-TIME-22", "R-COOLING-TIMEOUT",
              "cooling with its flushes is timed exactly while it lasts", Timer::cooling_timeout,
              was("(phase in {cooling, flushing})")),
      exactly("REQ-TIME-07", "R-GAS-SUPPLY",
              "a lost gas supply is timed exactly while it lasts in a cycle", Timer::supply_lost,
              "(" + was("(phase in {purging, ramp, soak, repurging, cooling, flushing})") +
                  " and not fact.gas_supply_ok)"),
      missing("REQ-TIME-08", "R-FLOW-MISSING", "missing purge flow is timed exactly while it lasts",
              Timer::purge_flow_missing, "command.purge_valve", "fact.purge_flow"),
      missing("REQ-TIME-09", "R-FLOW-MISSING",
              "missing process flow is timed exactly while it lasts", Timer::process_flow_missing,
              "command.process_valve", "fact.process_flow"),
      unexpected("REQ-TIME-10", "R-FLOW-UNEXPECTED",
                 "unexpected purge flow is timed exactly while it lasts",
                 Timer::purge_flow_unexpected, "command.purge_valve", "fact.purge_flow"),
      unexpected("REQ-TIME-11", "R-FLOW-UNEXPECTED",
                 "unexpected process flow is timed exactly while it lasts",
                 Timer::process_flow_unexpected, "command.process_valve", "fact.process_flow"),
      missing("REQ-TIME-12", "R-FAN-PROOF", "missing circulation is timed exactly while it lasts",
              Timer::fan_not_proven, "command.fan", "fact.fan_running"),
      unexpected("REQ-TIME-13", "R-FAN-PROOF",
                 "unexpected circulation is timed exactly while it lasts", Timer::fan_unexpected,
                 "command.fan", "fact.fan_running"),
      unexpected("REQ-TIME-14", "R-CONTACTOR-WELDED",
                 "a K1 that does not open is timed exactly while it is closed", Timer::k1_not_open,
                 "command.k1", "not fact.k1_open"),
      unexpected("REQ-TIME-15", "R-CONTACTOR-WELDED",
                 "a K2 that does not open is timed exactly while it is closed", Timer::k2_not_open,
                 "command.k2", "not fact.k2_open"),
      exactly("REQ-TIME-16", "R-CONTACTOR-CLOSE",
              "a K1 that does not close is timed exactly while it is open", Timer::k1_not_closed,
              "(" + was(heating) + " and " + was("command.k1") + " and fact.k1_open)"),
      exactly("REQ-TIME-17", "R-CONTACTOR-CLOSE",
              "a K2 that does not close is timed exactly while it is open", Timer::k2_not_closed,
              "(" + was(heating) + " and " + was("command.k2") + " and fact.k2_open)"),
      missing("REQ-TIME-18", "R-DAMPER",
              "a damper that does not open is timed exactly while it is not open",
              Timer::damper_not_open, "command.damper", "fact.damper_open", jacket),
      unexpected("REQ-TIME-19", "R-DAMPER",
                 "a damper that does not close is timed exactly while it is not closed",
                 Timer::damper_not_closed, "command.damper", "not fact.damper_closed", jacket),
      missing("REQ-TIME-20", "R-BLOWER", "missing jacket air is timed exactly while it lasts",
              Timer::blower_not_proven, "command.blower", "fact.blower_running", jacket),
      unexpected("REQ-TIME-21", "R-BLOWER", "unexpected jacket air is timed exactly while it lasts",
                 Timer::blower_unexpected, "command.blower", "fact.blower_running", jacket),
  };
}

}  // namespace ovenproof::prove
