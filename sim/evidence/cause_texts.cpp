#include "sim/evidence/cause_texts.hpp"

#include <array>

namespace ovenproof::evidence {
namespace {

using enum logic::Cause;

constexpr std::array<CauseText, logic::cause_count> texts{{
    {power_up, "the load waits hot or half treated; the gas is shut",
     "See that nobody is at the oven and reset. Decide whether the load can still be used."},
    {watchdog_restart, "the load waits; the controller may restart again",
     "Reset once. If it occurs again, stop using the oven and call maintenance."},
    {settings_invalid, "nothing can be started",
     "Do not override. Load the settings of record, compare the checksum, reset."},
    {clock_jump, "durations counted by the controller are in doubt",
     "Reset. If it occurs again, call maintenance."},
    {scan_overrun, "reactions come late", "Reset. If it occurs again, call maintenance."},
    {emergency_stop, "everything is off; a hot load stays in the chamber without gas",
     "Help anyone in danger, but enter no place that may lack oxygen. Release only when the reason "
     "is gone, then reset."},
    {limiter_tripped, "elements, chamber or load may be overheated",
     "Do not open. Let it cool, have the cause found, reset the limiter by hand, then reset."},
    {door_opened_in_cycle, "people meet heat and inert gas; the load meets air",
     "Keep away from the opening and out of the gas; ventilate. Shut the door only if no part of "
     "you meets heat or gas. Let it cool, reset."},
    {door_contacts_disagree, "one contact no longer proves the door",
     "Do not use the oven. Have contacts, actuator and wiring checked, reset."},
    {over_temperature, "the load is spoiled; the limiter is next",
     "Let it cool, have the cause found, reset."},
    {temperature_invalid, "the controller does not know how hot the oven is",
     "Treat the oven as hot. Have thermocouple and input checked, reset."},
    {thermocouples_disagree, "one of two readings is wrong, and which is not known",
     "Treat the oven as hot. Have both thermocouples checked, reset."},
    {temperature_rate_implausible, "a reading is wrong",
     "Treat the oven as hot. Have thermocouple and wiring checked, reset."},
    {no_temperature_rise,
     "a heater without effect, or a thermocouple out of the chamber: the oven may be hotter than "
     "it reads",
     "Treat the oven as hot. Have thermocouple, elements and fuses checked, reset."},
    {rise_without_demand, "heat that nobody commands: a contactor or the power control is stuck",
     "Switch the heater's main switch off and lock it. Keep away until cool. Have contactors and "
     "power control checked."},
    {gas_supply_lost, "the chamber draws air; a hot load oxidises",
     "Keep the door shut while hot. Restore the supply or change over cylinders in a ventilated "
     "place, reset."},
    {purge_flow_missing, "no purge: oxygen stays in the chamber",
     "Keep the door shut. Have supply, valve and flow switch checked, reset."},
    {process_flow_missing, "the chamber slowly draws air",
     "Keep the door shut while hot. Have supply, valve and flow switch checked, reset."},
    {purge_flow_unexpected,
     "gas flows though it should not: the room's oxygen falls; or the flow switch is wrong",
     "Leave the room at once and warn others. Shut the supply from outside. Enter again only when "
     "a portable monitor reads at least 19.5 %; have the valve checked."},
    {process_flow_unexpected,
     "gas flows though it should not: the room's oxygen falls; or the flow switch is wrong",
     "Leave the room at once and warn others. Shut the supply from outside. Enter again only when "
     "a portable monitor reads at least 19.5 %; have the valve checked."},
    {oxygen_invalid, "the oxygen in the chamber is not known",
     "Keep the door shut while hot. Have the oxygen monitor checked, reset."},
    {oxygen_air_check_failed, "the oxygen reading is wrong: it may show a gate that is not met",
     "Keep out of the chamber: it may lack oxygen. Have the monitor calibrated in air, reset."},
    {oxygen_not_falling, "no purge, a leak, or a reading that is stuck",
     "Keep the door shut while hot. Have flow, seal, exhaust and monitor checked, reset."},
    {oxygen_falls_too_soon, "the reading shows a gate that cannot be met yet",
     "Have the monitor checked, reset."},
    {oxygen_frozen, "the reading no longer follows the chamber, or the gas itself holds oxygen",
     "Keep the door shut while hot. Have the monitor and the purity of the gas checked, reset."},
    {gate_not_met_in_time, "the chamber cannot be made inert: leak, too little flow, monitor",
     "Keep the door shut while hot. Have seal, flow and monitor checked, reset."},
    {heating_not_done_in_time, "the load is not treated as programmed",
     "Let it cool, have elements, load and programme checked, reset."},
    {cooling_not_done_in_time, "the load stays hot, or air gets in while it cools",
     "Keep the door shut. Have jacket cooling, seal and oxygen monitor checked, reset: gas and "
     "circulation come back over a hot load."},
    {repurge_limit, "the inert gas is lost again and again: a leak or a supply that fails",
     "Let it cool with the door shut. Have leak or supply mended, reset."},
    {fan_not_proven, "elements and load overheat where no thermocouple sits",
     "Do not open. Have fan, drive and airflow switch checked, reset."},
    {fan_unexpected, "the airflow switch is stuck and proves nothing any more",
     "Have the airflow switch checked, reset."},
    {k1_welded, "one of two contactors no longer opens",
     "Switch the heater's main switch off and lock it. Have the regulating contactor replaced "
     "before the oven is used again."},
    {k2_welded, "one of two contactors no longer opens",
     "Switch the heater's main switch off and lock it. Have the safety contactor replaced before "
     "the oven is used again."},
    {k1_not_closed, "no heat",
     "Have the regulating contactor, its coil and its mirror contact checked, reset."},
    {k2_not_closed, "no heat",
     "Have the safety contactor, its coil and its mirror contact checked, reset."},
    {damper_switches_contradict, "the position of the damper is not known",
     "Keep hands out of damper and linkage. Have the end switches checked, reset."},
    {damper_not_open, "the oven cools slowly",
     "Keep hands out of damper and linkage. Have damper, drive and end switch checked, reset."},
    {damper_not_closed, "cooling air meets the next heating",
     "Keep hands out of damper and linkage. Have damper, spring and end switch checked, reset."},
    {blower_not_proven, "the oven cools slowly", "Have blowers and airflow switch checked, reset."},
    {blower_unexpected, "the airflow switch or a contactor is stuck",
     "Have blowers and airflow switch checked, reset."},
    {door_not_closed, "nothing runs while the door is open: as meant",
     "Close the door. A single contact must be seen to open after each cycle: open the door once. "
     "If "
     "that does not help, have the contacts checked."},
    {fan_not_running, "no heat until the air moves", "None unless the fan's alarm follows."},
    {gate_not_met, "no heat until the chamber is purged: as meant", "Wait."},
    {oxygen_above_hold, "the heat is off, the oven purges again",
     "Keep the door shut. Have the seal checked if it occurs more than once."},
    {process_flow_not_proven, "no heat until gas is proven to flow",
     "None unless the flow's alarm follows."},
    {purge_path_flowing, "the other path waits: as meant", "None unless the flow's alarm follows."},
    {process_path_flowing, "the other path waits: as meant",
     "None unless the flow's alarm follows."},
    {damper_off_open_stop, "the blowers wait for the damper: as meant",
     "None unless the damper's alarm follows."},
    {oxygen_not_proven, "no start until the oxygen monitor has read air: as meant",
     "Open the door, stand clear until the monitor reads air, close it, start."},
}};

consteval bool ordered_by_cause() {
  for (std::size_t i = 0; i < texts.size(); ++i) {
    if (static_cast<std::size_t>(texts[i].cause) != i) return false;
  }
  return true;
}
static_assert(ordered_by_cause(), "text n belongs to Cause n");

}  // namespace

const CauseText& text_of(logic::Cause cause) { return texts[static_cast<std::size_t>(cause)]; }

}  // namespace ovenproof::evidence
