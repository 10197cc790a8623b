#include "sim/prove/hot_load_words.hpp"
#include "sim/prove/interlock_groups.hpp"
#include "sim/prove/interlock_words.hpp"

namespace ovenproof::prove {
namespace {

using namespace words;
using logic::Timer;

const std::string door_closed_anew =
    "(fact.door_closed and falls(phase = standby and not fact.door_closed))";

/// The programme ran to its end in this cycle.
const std::string completed =
    "((first_out = none and not command.programme_restart) since"
    " (falls(phase = soak) and phase = cooling and fact.soak_complete and fact.last_segment))";

/// The last cycle ended normally and the door was opened to unload it, and nothing abnormal came
/// since.
std::string armed_by_unloading(const Delays& delays) {
  return "((first_out = none and not command.programme_restart and not fact.stop_pressed and not " +
         delays.over(was("armed"), Timer::arm_expiry) +
         ") since (falls(phase = unloading) and fact.door_open and " + completed + "))";
}

}  // namespace

std::vector<Interlock> interlocks_of_start(const logic::Options& options, const Delays& delays) {
  const std::string energised = anything_energised(options.jacket_cooling);
  return {
      {"REQ-START-01", "R-POWER-RETURN", "nothing is energised in the first scan after power-up",
       "at_start (not " + energised + ")"},
      {"REQ-START-02", "R-POWER-RETURN",
       "after power-up nothing is energised before a fresh press of reset",
       always(energised + " implies once " + reset_pressed_anew)},
      {"REQ-START-03", "R-START-EDGE", "a cycle starts only by a fresh press of start",
       always("command.programme_restart implies " + start_pressed_anew), !options.start_by_door},
      {"REQ-START-04", "R-START-EDGE",
       "a cycle starts only by a fresh press of start, or by the door closing when armed",
       always("command.programme_restart implies (" + start_pressed_anew + " or " +
              door_closed_anew + ")"),
       options.start_by_door},
      {"REQ-START-05", "R-START-ARMED",
       "the door's closing is armed only by opening the door to unload a cycle that ended normally",
       always("armed implies " + armed_by_unloading(delays)), options.start_by_door},
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
       "at rest nothing comes on by itself but gas over a hot load, and by a reset circulation",
       always(at_rest +
              " implies not (rises(command.k1) or rises(command.k2) or rises(command.heater_drive)"
              " or rises(command.damper) or rises(command.blower) or (rises(command.fan) and not"
              " (not fact.elements_cool and " +
              reset_while_hot + ")))")},
      {"REQ-START-10", "R-START-UNEXPECTED",
       "at rest gas flows only over a load that was made inert, or that a reset found hot",
       always("(" + at_rest + " and (command.process_valve or command.purge_valve)) implies " +
              hot_and_inert)},
      {"REQ-START-11", "R-START-EDGE", "a cycle starts only with nothing there that would trip it",
       always("command.programme_restart implies"
              " (fact.gas_supply_ok and fact.temperature_valid and"
              " not fact.thermocouples_disagree and not fact.temperature_rate_implausible and"
              " not (option.oxygen_monitor and"
              " (fact.oxygen_failed or not fact.oxygen_has_read_air)))")},
      {"REQ-STOP-01", "R-STOP", "stop ends purge, re-purge, ramp and soak; a flush goes on",
       always("fact.stop_pressed implies not (phase in {purging, ramp, soak, repurging})")},
  };
}

}  // namespace ovenproof::prove
