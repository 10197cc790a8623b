#pragma once
#include <cstddef>
#include <cstdint>

namespace ovenproof::logic {

/// The rows of the cause-and-effect matrix. The order is the priority of the first-out when
/// several come in one scan: what explains others stands before them.
enum class Cause : std::uint8_t {
  power_up,
  watchdog_restart,
  settings_invalid,
  clock_jump,
  scan_overrun,
  emergency_stop,
  limiter_tripped,
  door_opened_in_cycle,
  door_contacts_disagree,
  over_temperature,
  temperature_invalid,
  thermocouples_disagree,
  temperature_rate_implausible,
  no_temperature_rise,
  rise_without_demand,
  gas_supply_lost,
  purge_flow_missing,
  process_flow_missing,
  purge_flow_unexpected,
  process_flow_unexpected,
  oxygen_invalid,
  oxygen_air_check_failed,
  oxygen_not_falling,
  oxygen_falls_too_soon,
  oxygen_frozen,
  gate_not_met_in_time,
  heating_not_done_in_time,
  cooling_not_done_in_time,
  repurge_limit,
  fan_not_proven,
  fan_unexpected,
  k1_welded,
  k2_welded,
  k1_not_closed,
  k2_not_closed,
  damper_switches_contradict,
  damper_not_open,
  damper_not_closed,
  blower_not_proven,
  blower_unexpected,
  // Inhibits from here on: they act while they last and leave no latch.
  door_not_closed,
  fan_not_running,
  gate_not_met,
  oxygen_above_hold,
  process_flow_not_proven,
  purge_path_flowing,
  process_path_flowing,
  damper_off_open_stop,
  oxygen_not_proven,
  count,
  none = count
};

inline constexpr std::size_t cause_count = static_cast<std::size_t>(Cause::count);

}  // namespace ovenproof::logic
