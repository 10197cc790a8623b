#include "sim/machine/cause_tags.hpp"

#include <algorithm>
#include <map>

namespace ovenproof::machine {
namespace {

using Points = std::vector<std::string_view>;

const Points door{"door_closed_1", "door_closed_2"};
const Points temperature{"te_a", "te_b"};
const Points oxygen{"oxygen_cell", "oxygen_loop"};
const Points oxygen_and_supply{"oxygen_cell", "oxygen_loop", "gas_supply_ok"};

const std::map<std::string_view, Points>& points_by_cause() {
  static const std::map<std::string_view, Points> all{
      {"power_up", {}},
      {"watchdog_restart", {}},
      {"settings_invalid", {}},
      {"clock_jump", {}},
      {"scan_overrun", {}},
      {"emergency_stop", {"estop_healthy"}},
      {"limiter_tripped", {"limiter_healthy"}},
      {"door_opened_in_cycle", door},
      {"door_contacts_disagree", door},
      {"over_temperature", temperature},
      {"temperature_invalid", temperature},
      {"thermocouples_disagree", temperature},
      {"temperature_rate_implausible", temperature},
      {"no_temperature_rise", temperature},
      {"rise_without_demand", temperature},
      {"gas_supply_lost", {"gas_supply_ok"}},
      {"purge_flow_missing", {"purge_flow"}},
      {"process_flow_missing", {"process_flow"}},
      {"purge_flow_unexpected", {"purge_flow"}},
      {"process_flow_unexpected", {"process_flow"}},
      {"oxygen_invalid", oxygen},
      {"oxygen_air_check_failed", oxygen},
      {"oxygen_not_falling", oxygen},
      {"oxygen_falls_too_soon", oxygen},
      {"oxygen_frozen", oxygen},
      {"gate_not_met_in_time", {}},
      {"heating_not_done_in_time", {}},
      {"cooling_not_done_in_time", {}},
      {"repurge_limit", oxygen_and_supply},
      {"fan_not_proven", {"fan_running"}},
      {"fan_unexpected", {"fan_running"}},
      {"k1_welded", {"k1"}},
      {"k2_welded", {"k2"}},
      {"k1_not_closed", {"k1"}},
      {"k2_not_closed", {"k2"}},
      {"damper_switches_contradict", {"damper_open", "damper_closed"}},
      {"damper_not_open", {"damper_open"}},
      {"damper_not_closed", {"damper_closed"}},
      {"blower_not_proven", {"blower_running"}},
      {"blower_unexpected", {"blower_running"}},
      {"door_not_closed", door},
      {"fan_not_running", {"fan_running"}},
      {"gate_not_met", {}},
      {"oxygen_above_hold", oxygen},
      {"process_flow_not_proven", {"process_flow"}},
      {"purge_path_flowing", {"purge_flow"}},
      {"process_path_flowing", {"process_flow"}},
      {"damper_off_open_stop", {"damper_open"}},
      {"oxygen_not_proven", oxygen},
  };
  return all;
}

}  // namespace

const std::vector<std::string_view>& points_of_cause(std::string_view cause) {
  return points_by_cause().at(cause);
}

std::string tags_of_cause(std::string_view cause, const Machine& machine) {
  const Points& wanted = points_of_cause(cause);
  std::string tags;
  for (std::size_t i = 0; i < point_count; ++i) {
    const Point& point = all_points()[i];
    if (std::find(wanted.begin(), wanted.end(), point.key) == wanted.end()) continue;
    if (!has_part(point.part, machine.settings.options)) continue;
    tags += (tags.empty() ? "" : " ") + machine.tags[i];
  }
  return tags;
}

std::string with_tags(std::string_view text, std::string_view cause, const Machine& machine) {
  const std::string tags = cause.empty() ? "" : tags_of_cause(cause, machine);
  return std::string(text) + (tags.empty() ? "" : " (" + tags + ")");
}

}  // namespace ovenproof::machine
