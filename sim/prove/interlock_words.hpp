#pragma once
#include <string>

/// Words in the property language that several interlocks share.
namespace ovenproof::prove::words {

inline const std::string heat = "(command.k1 or command.k2 or command.heater_drive)";
inline const std::string at_rest = "(phase in {tripped, standby})";
inline const std::string heating = "(phase in {ramp, soak})";
inline std::string anything_energised(bool jacket_cooling) {
  return "(command.k1 or command.k2 or command.heater_drive or command.fan or command.purge_valve"
         " or command.process_valve" +
         std::string(jacket_cooling ? " or command.damper or command.blower)" : ")");
}

/// What no reset and no phase excuses: with it nothing may be energised.
inline const std::string general_fault =
    "(not fact.estop_healthy or not fact.settings_valid or fact.door_contacts_disagree"
    " or not fact.door_closed)";

/// The volumes are complete and oxygen was held below the gate, in a purge up to this scan.
inline const std::string gate_conditions =
    "(fact.purge_volumes_reached and"
    " (not option.oxygen_monitor or"
    " (fact.oxygen_valid and fact.oxygen_at_gate and fact.gate_hold_elapsed)))";

/// The purge has done its work.
inline const std::string gate_met = "(falls(command.purge_valve) and " + gate_conditions + ")";

/// Tripped by what says that the oven is not as hot as it reads, or that nobody knows.
inline const std::string temperature_in_doubt =
    "(first_out in {limiter_tripped, temperature_invalid, thermocouples_disagree,"
    " temperature_rate_implausible, no_temperature_rise, rise_without_demand})";

/// Cold enough to be opened, as far as anybody knows.
inline const std::string cold =
    "(fact.cool_to_unload and fact.gas_settled and not " + temperature_in_doubt + ")";

/// A reset was accepted over an oven that is known to be hot, behind its closed door.
inline const std::string reset_while_hot =
    "(falls(phase = tripped) and fact.temperature_valid and not fact.cool_to_unload and"
    " fact.door_closed)";

/// The inert gas is being lost while it is heated.
inline const std::string loses_inert_gas =
    "(" + heating +
    " and (not fact.gas_supply_ok or (option.oxygen_monitor and fact.oxygen_above_hold)))";

// A press counts only where the button is watched, and there it must have been up in the scan
// before.
inline const std::string start_pressed_anew =
    "(fact.start_pressed and falls(phase = standby and not fact.start_pressed))";
inline const std::string reset_pressed_anew =
    "(fact.reset_pressed and falls(phase = tripped and not fact.reset_pressed))";

inline std::string always(const std::string& claim) { return "always (" + claim + ")"; }
inline std::string never(const std::string& claim) { return "never (" + claim + ")"; }

/// In the scan before this one; in the first scan: in this one.
inline std::string was(const std::string& condition) {
  return "(not (rises(" + condition + ") or (not " + condition + " and not falls(" + condition +
         "))))";
}

/// Not in its first scan.
inline std::string still(const std::string& condition) {
  return "(" + condition + " and not rises(" + condition + "))";
}

}  // namespace ovenproof::prove::words
