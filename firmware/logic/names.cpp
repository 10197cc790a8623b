#include <array>

#include "firmware/logic/facts.hpp"
#include "firmware/logic/outputs.hpp"
#include "firmware/logic/phase.hpp"

namespace ovenproof::logic {
namespace {

constexpr std::array<const char*, fact_count> fact_names{
    "door_closed",
    "door_open",
    "door_contacts_disagree",
    "start_pressed",
    "stop_pressed",
    "reset_pressed",
    "estop_healthy",
    "limiter_healthy",
    "gas_supply_ok",
    "purge_flow",
    "process_flow",
    "fan_running",
    "k1_open",
    "k2_open",
    "damper_open",
    "damper_closed",
    "blower_running",
    "temperature_valid",
    "thermocouples_disagree",
    "temperature_rate_implausible",
    "over_temperature",
    "no_temperature_rise",
    "rise_without_demand",
    "oxygen_valid",
    "oxygen_failed",
    "oxygen_at_gate",
    "oxygen_above_hold",
    "oxygen_air_check_failed",
    "oxygen_not_falling",
    "oxygen_falls_too_soon",
    "oxygen_frozen",
    "purge_volumes_reached",
    "ramp_complete",
    "soak_complete",
    "last_segment",
    "cool_to_unload",
    "gas_settled",
    "elements_cool",
    "settings_valid",
    "scan_overrun",
    "clock_jump",
    "gate_hold_elapsed",
    "purge_timeout_elapsed",
    "heating_timeout_elapsed",
    "arm_expiry_elapsed",
    "changeover_elapsed",
    "supply_lost_elapsed",
    "purge_flow_missing_elapsed",
    "process_flow_missing_elapsed",
    "purge_flow_unexpected_elapsed",
    "process_flow_unexpected_elapsed",
    "fan_not_proven_elapsed",
    "fan_unexpected_elapsed",
    "k1_not_open_elapsed",
    "k2_not_open_elapsed",
    "k1_not_closed_elapsed",
    "k2_not_closed_elapsed",
    "damper_not_open_elapsed",
    "damper_not_closed_elapsed",
    "blower_not_proven_elapsed",
    "blower_unexpected_elapsed",
};
constexpr std::array<const char*, output_count> output_names{
    "k1", "k2", "heater_drive", "fan", "purge_valve", "process_valve", "damper", "blower"};
constexpr std::array<const char*, phase_count> phase_names{"tripped", "standby",  "purging",
                                                           "ramp",    "soak",     "repurging",
                                                           "cooling", "flushing", "unloading"};
constexpr std::array<const char*, 3> path_names{"shut", "purge", "process"};
constexpr std::array<const char*, 4> fan_names{"off", "starting", "proven", "run_on"};
constexpr std::array<const char*, 4> jacket_names{"closed", "opening", "open", "closing"};

template <std::size_t n>
const char* look_up(const std::array<const char*, n>& names, std::size_t index) {
  static_assert(n > 0);
  return index < n && names[index] != nullptr ? names[index] : "?";
}

}  // namespace

const char* name_of(Fact fact) { return look_up(fact_names, static_cast<std::size_t>(fact)); }
const char* name_of(Output output) {
  return look_up(output_names, static_cast<std::size_t>(output));
}
const char* name_of(Phase phase) { return look_up(phase_names, static_cast<std::size_t>(phase)); }
const char* name_of(GasPath path) { return look_up(path_names, static_cast<std::size_t>(path)); }
const char* name_of(FanState state) { return look_up(fan_names, static_cast<std::size_t>(state)); }
const char* name_of(JacketState state) {
  return look_up(jacket_names, static_cast<std::size_t>(state));
}

}  // namespace ovenproof::logic
