#include "sim/evidence/trip_tests.hpp"

#include <array>

#include "sim/evidence/isolation.hpp"

namespace ovenproof::evidence {
namespace {

using enum logic::Cause;
using isolation::cold_cycle;
using machine::Part;

constexpr const char* wire_back = "Put the wire back and reset.";
constexpr const char* bridge_out = "Take the bridge out and reset.";
constexpr const char* valve_open = "Open the hand valve and reset.";
constexpr const char* sensor_back =
    "Put the sensor's wires back by polarity; it reads the room or the chamber. Reset.";
constexpr const char* motor_back =
    "People clear and guards on: unlock and close the isolator. Reset.";

constexpr std::array<TripTest, logic::cause_count> tests{{
    {power_up, isolation::all, "Standby: switch the controller's supply off and on.", "Reset."},
    {watchdog_restart, isolation::all,
     "Standby: stop the processor as the board's manual describes, until the watchdog acts. A "
     "board "
     "without a means for it: its maker's test report.",
     "End the test means and reset."},
    {settings_invalid, isolation::all, "Standby: load a settings file with one byte changed.",
     "Load the settings of record, compare the checksum, reset."},
    {clock_jump, isolation::all,
     "Standby: shift the controller's clock as the board's manual describes. A board without a "
     "means for it: its maker's test report.",
     "End the test means and reset."},
    {scan_overrun, isolation::all,
     "Standby: load the processor beyond the scan period as the board's manual describes. A board "
     "without a means for it: its maker's test report.",
     "End the test means and reset."},
    {emergency_stop, cold_cycle, "In each phase: press an emergency-stop device, each in turn.",
     "Release the device and reset."},
    {limiter_tripped, cold_cycle,
     "Before the start, oven cold: take the sensor's wires off the limiter's terminals and connect "
     "a calibrator at the room's temperature. Purging: raise it above the limiter's set point.",
     "Sensor wires back by polarity, limiter reset by hand; it reads the chamber. Reset."},
    {door_opened_in_cycle, cold_cycle,
     "Purging with test air, chamber still reading air, nobody leaning in: open the door.",
     "Shut the door and reset."},
    {door_contacts_disagree, isolation::heater_and_gas,
     "Standby: take one wire off one door contact at the terminal.", wire_back,
     Part::second_door_contact},
    {over_temperature, isolation::heater_and_gas,
     "Standby, door open, chamber reading air: feed every control thermocouple's input from "
     "calibrators at the room's temperature and raise them together above the control limit.",
     sensor_back},
    {temperature_invalid, cold_cycle,
     "Purging: take one wire off a control thermocouple at the controller's terminal.", wire_back},
    {thermocouples_disagree, cold_cycle,
     "Before the start: feed one thermocouple's input from a calibrator at the chamber's "
     "temperature. Purging: raise it slowly beyond the permitted difference and hold it there.",
     sensor_back, Part::second_thermocouple},
    {temperature_rate_implausible, cold_cycle,
     "Before the start: feed one control thermocouple's input from a calibrator at the chamber's "
     "temperature. Purging: step it up by more than the limit, below the control limit.",
     sensor_back},
    {no_temperature_rise, cold_cycle,
     "Heating: with the supply locked off the elements stay cold. Wait. The thermocouple stays "
     "where it is.",
     "Reset."},
    {rise_without_demand, isolation::heater_and_gas,
     "Standby, door open: feed every control thermocouple's input from calibrators at the room's "
     "temperature. Shut the door, wait for the grace time, raise them together slowly beyond the "
     "limit.",
     sensor_back},
    {gas_supply_lost, cold_cycle, "Purging: shut the test air at its source.",
     "Open the test air and reset."},
    {purge_flow_missing, cold_cycle, "Purging: shut the hand valve of the purge path.", valve_open},
    {process_flow_missing, cold_cycle, "Heating: shut the hand valve of the process path.",
     valve_open},
    {purge_flow_unexpected, isolation::heater_and_gas,
     "Standby: bridge the purge flow switch at the controller's terminal. No gas flows.",
     bridge_out},
    {process_flow_unexpected, isolation::heater_and_gas,
     "Standby: bridge the process flow switch at the controller's terminal. No gas flows.",
     bridge_out},
    {oxygen_invalid, cold_cycle,
     "Purging, monitor warm and reading: take one wire of its signal off at the controller's "
     "terminal.",
     wire_back},
    {oxygen_air_check_failed, isolation::heater_and_gas,
     "Standby, monitor warm: feed its input a value that is not air's from a signal source. Open "
     "the door; wait for longer than the check.",
     sensor_back},
    {oxygen_not_falling, cold_cycle,
     "Before the start: feed the oxygen input the signal of air. Purging: wait, and move the "
     "signal "
     "by a few counts every half minute, so that it is not taken for frozen.",
     sensor_back},
    {oxygen_falls_too_soon, cold_cycle,
     "Door open for longer than the air check, oxygen input fed the signal of air. Shut the door "
     "and start; at the start of the purge feed the gate's value.",
     sensor_back},
    {oxygen_frozen, cold_cycle,
     "Before the start: feed the oxygen input the signal of air from a source steadier than "
     "oxygen.frozen_band, in counts of the converter. Purging: wait. A source less steady does not "
     "show it.",
     sensor_back},
    {gate_not_met_in_time, cold_cycle,
     "Before the start: a normally closed push-button in series with the purge flow switch. "
     "Purging: press it for one second, shorter than the flow alarm's delay, each time before the "
     "purge volume is complete, until the timeout.",
     "Take the push-button out, wire as before; reset."},
    {heating_not_done_in_time, cold_cycle,
     "Standby, door open: feed every control thermocouple's input a value above the soak band and "
     "below the control limit. Shut the door and start. Heating: no soak time counts; wait for the "
     "timeout.",
     sensor_back},
    {cooling_not_done_in_time, cold_cycle,
     "Heating: feed every control thermocouple's input a value above the unloading temperature and "
     "below the control limit. Press stop. Cooling: wait for the timeout.",
     sensor_back},
    {repurge_limit, cold_cycle,
     "Heating: open the gas supply switch's wire by a push-button for less than its trip delay; "
     "each time heat is released again, once more, until one more than permitted.",
     "Take the push-button out, wire as before; reset."},
    {fan_not_proven, cold_cycle,
     "Purging: open the fan motor's isolator, lock and tag it. Do not hold or touch the rotor.",
     motor_back},
    {fan_unexpected, isolation::all,
     "Standby, fan at rest: bridge its airflow switch at the controller's terminal.", bridge_out},
    {k1_welded, isolation::heater,
     "Standby: take one wire of the regulating contactor's mirror contact off at the controller's "
     "terminal.",
     wire_back},
    {k2_welded, isolation::heater,
     "Standby: take one wire of the safety contactor's mirror contact off at the controller's "
     "terminal.",
     wire_back},
    {k1_not_closed, cold_cycle,
     "Heating: bridge the regulating contactor's mirror contact at the controller's terminal.",
     bridge_out},
    {k2_not_closed, cold_cycle,
     "Heating: bridge the safety contactor's mirror contact at the controller's terminal.",
     bridge_out},
    {damper_switches_contradict, isolation::all,
     "Standby, damper shut: bridge its open end switch at the controller's terminal. No hand in "
     "blade or linkage: the spring stores energy.",
     bridge_out},
    {damper_not_open, cold_cycle,
     "Standby, door open: feed every control thermocouple's input a value above the unloading "
     "temperature. Shut the door, start, stop in heating. Before that take the drive's wire off at "
     "the controller's terminal. Do not hold the damper.",
     "Wires of drive and sensors back by polarity; reset."},
    {damper_not_closed, isolation::all,
     "Standby, damper shut: take one wire of its closed end switch off at the controller's "
     "terminal. Do not hold the damper.",
     wire_back},
    {blower_not_proven, cold_cycle,
     "Reach cooling as for the damper, blowers running: open their motor's isolator, lock and tag "
     "it. Do not hold or touch a rotor.",
     "Sensor wires back by polarity; people clear and guards on: unlock and close the isolator. "
     "Reset."},
    {blower_unexpected, isolation::all,
     "Standby, blowers at rest: bridge their airflow switch at the controller's terminal.",
     bridge_out},
    {door_not_closed, isolation::heater_and_gas,
     "Standby, chamber reading air: open the door, press start. Nothing moves.", "Shut the door."},
    {fan_not_running, cold_cycle,
     "Heating: take one wire of the airflow switch off at the controller's terminal; both "
     "contactors drop out at once.",
     "Put the wire back; reset if the fan's alarm followed."},
    {gate_not_met, cold_cycle,
     "Purging: measure the coil terminals of both contactors; no voltage.", "Nothing was changed."},
    {oxygen_above_hold, cold_cycle,
     "Oxygen from a signal source since before the start. Heating: raise it above the hold limit; "
     "both contactors drop out at once.",
     sensor_back},
    {process_flow_not_proven, cold_cycle,
     "Heating: take one wire of the process flow switch off at the controller's terminal; both "
     "contactors drop out at once.",
     "Put the wire back; reset if the flow's alarm followed."},
    {purge_path_flowing, cold_cycle,
     "Change from purge to process: bridge the purge flow switch at the controller's terminal; the "
     "process valve stays shut.",
     bridge_out},
    {process_path_flowing, cold_cycle,
     "Before the start: bridge the process flow switch at the controller's terminal; start at "
     "once; "
     "the purge valve stays shut.",
     bridge_out},
    {damper_off_open_stop, cold_cycle,
     "Reach cooling as for the damper, blowers running: take one wire of the open end switch off "
     "at "
     "the controller's terminal; the blowers stop.",
     "Wires of switch and sensors back by polarity; reset if the damper's alarm followed."},
    {oxygen_not_proven, isolation::heater_and_gas,
     "Switch the controller off and on; oxygen from a signal source at a value below air's since "
     "before that. Reset, shut the door, press start. Nothing moves.",
     sensor_back},
}};

consteval bool ordered_by_cause() {
  for (std::size_t i = 0; i < tests.size(); ++i) {
    if (static_cast<std::size_t>(tests[i].cause) != i) return false;
  }
  return true;
}
static_assert(ordered_by_cause(), "test n belongs to Cause n");

}  // namespace

const TripTest& trip_test_of(logic::Cause cause) { return tests[static_cast<std::size_t>(cause)]; }

}  // namespace ovenproof::evidence
