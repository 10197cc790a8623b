#include <algorithm>

#include <fmt/format.h>

#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/machine/io_list.hpp"

namespace ovenproof::campaign {
namespace {

using enum logic::Cause;
using Causes = std::vector<logic::Cause>;
using machine::Part;

/// One failure mode of a part that the plant can simulate.
struct Line {
  std::string_view tag;  ///< key of the point whose tag it carries, or the component's own name
  std::string_view name;
  ComponentKind kind;
  std::string_view what;
  std::string_view list;  ///< "B", "D", "A" of ISO 13849-2, empty: usual in the trade
  std::string_view list_part;
  Onset onset;
  std::string_view fault;
  Causes right;
  Part part = Part::every_oven;
};

std::vector<Line> lines() {
  using K = ComponentKind;
  constexpr Onset now = Onset::abrupt;
  constexpr Onset slowly = Onset::drifting;
  constexpr Onset briefly = Onset::intermittent;
  const Causes too_hot{over_temperature, limiter_tripped};
  const Causes slipped{thermocouples_disagree, no_temperature_rise, temperature_rate_implausible};
  // clang-format off
  return {
      {"k1", "welded", K::contactor, "main contacts do not open", "D", "contactors", now, "k1_welded", {k1_welded}},
      {"k1", "not_pulling", K::contactor, "does not close", "D", "contactors", now, "k1_not_pulling", {k1_not_closed}},
      {"k2", "welded", K::contactor, "main contacts do not open", "D", "contactors", now, "k2_welded", {k2_welded}},
      {"k2", "not_pulling", K::contactor, "does not close", "D", "contactors", now, "k2_not_pulling", {k2_not_closed}},
      {"purge_valve", "stuck_open", K::valve, "does not close, or opens by itself", "B", "directional valves", now, "purge_valve_stuck_open", {purge_flow_unexpected}},
      {"purge_valve", "leaks", K::valve, "passes a tenth when closed", "B", "directional valves", now, "purge_valve_stuck_open 10 %", {purge_flow_unexpected}},
      {"purge_valve", "stuck_closed", K::valve, "does not open", "B", "directional valves", now, "purge_valve_stuck_closed", {purge_flow_missing}},
      {"purge_valve", "half_open", K::valve, "opens half way", "B", "directional valves", now, "purge_valve_stuck_closed 50 %", {purge_flow_missing}},
      {"purge_valve", "slow", K::valve, "takes 51 times as long to move", "B", "directional valves", now, "purge_valve_slow", {purge_flow_missing, purge_flow_unexpected}},
      {"process_valve", "stuck_open", K::valve, "does not close, or opens by itself", "B", "directional valves", now, "process_valve_stuck_open", {process_flow_unexpected}},
      {"process_valve", "leaks", K::valve, "passes a tenth when closed", "B", "directional valves", now, "process_valve_stuck_open 10 %", {process_flow_unexpected}},
      {"process_valve", "stuck_closed", K::valve, "does not open", "B", "directional valves", now, "process_valve_stuck_closed", {process_flow_missing}},
      {"process_valve", "half_open", K::valve, "opens half way", "B", "directional valves", now, "process_valve_stuck_closed 50 %", {process_flow_missing}},
      {"process_valve", "slow", K::valve, "takes 51 times as long to move", "B", "directional valves", now, "process_valve_slow", {process_flow_missing, process_flow_unexpected}},
      {"fan", "stopped", K::fan, "runs down and stands", "", "", now, "fan_stopped", {fan_not_proven}},
      {"fan", "dips", K::fan, "stands for 10 s, then runs again", "", "", briefly, "fan_stopped for 10 s", {fan_not_proven}},
      {"fan", "slow", K::fan, "reaches 60 % of its speed", "", "", now, "fan_slow 40 %", {fan_not_proven}},
      {"fan", "fading", K::fan, "loses its speed over an hour", "", "", slowly, "fan_slow 100 % over 1 h", {fan_not_proven}},
      {"damper", "stuck", K::damper, "stays where it is", "A", "moving parts", now, "damper_stuck", {damper_not_open, damper_not_closed}, Part::jacket_cooling},
      {"damper", "stuck_open", K::damper, "does not close", "A", "springs", now, "damper_stuck_open", {damper_not_closed}, Part::jacket_cooling},
      {"damper", "stuck_closed", K::damper, "does not open", "A", "moving parts", now, "damper_stuck_closed", {damper_not_open}, Part::jacket_cooling},
      {"damper", "half_open", K::damper, "opens half way", "A", "moving parts", now, "damper_stuck_closed 50 %", {damper_not_open}, Part::jacket_cooling},
      {"blower", "stopped", K::blower, "stands", "", "", now, "blower_failed", {blower_not_proven}, Part::jacket_cooling},
      {"blower", "slow", K::blower, "reaches 60 % of its speed", "", "", now, "blower_failed 40 %", {blower_not_proven}, Part::jacket_cooling},
      {"blower", "fading", K::blower, "loses its speed over an hour", "", "", slowly, "blower_failed 100 % over 1 h", {blower_not_proven}, Part::jacket_cooling},
      {"heater", "switch_shorted", K::heater, "power switch conducts whatever is demanded", "D", "semiconductors", now, "heater_switch_shorted", too_hot},
      {"heater", "switch_leaks", K::heater, "power switch lets a tenth through", "D", "semiconductors", now, "heater_switch_shorted 10 %", too_hot},
      {"heater", "broken", K::heater, "elements broken", "", "", now, "element_broken", {no_temperature_rise, heating_not_done_in_time}},
      {"heater", "third_broken", K::heater, "a third of the elements broken", "", "", now, "element_broken 33 %", {no_temperature_rise, heating_not_done_in_time}},
      {"heater", "ageing", K::heater, "elements lose half their power over 2 h", "", "", slowly, "element_broken 50 % over 2 h", {no_temperature_rise, heating_not_done_in_time}},
      {"seal", "torn", K::enclosure, "door seal fails", "", "", now, "seal_leaking", air_comes_in},
      {"seal", "leaks", K::enclosure, "door seal leaks a tenth", "", "", now, "seal_leaking 10 %", air_comes_in},
      {"seal", "ageing", K::enclosure, "door seal fails over 2 h", "", "", slowly, "seal_leaking 100 % over 2 h", air_comes_in},
      {"non_return", "stuck_open", K::enclosure, "lets air back in", "B", "check valves", now, "non_return_stuck_open", air_comes_in},
      {"non_return", "stuck_closed", K::enclosure, "does not open", "B", "check valves", now, "non_return_stuck_closed", {}},
      {"exhaust", "blocked", K::enclosure, "blocked", "", "", now, "exhaust_blocked", {}},
      {"exhaust", "clogging", K::enclosure, "clogs to nine tenths over 2 h", "", "", slowly, "exhaust_blocked 90 % over 2 h", {}},
      {"relief", "stuck_closed", K::enclosure, "does not open", "B", "pressure valves", now, "relief_stuck_closed", {}},
      {"relief", "leaks", K::enclosure, "does not close: passes a tenth either way", "B", "pressure valves", now, "relief_leaking 10 %", air_comes_in},
      {"relief", "stuck_open", K::enclosure, "does not close: lets air back in", "B", "pressure valves", now, "relief_leaking", air_comes_in},
      {"vacuum_relief", "stuck_closed", K::enclosure, "does not open", "B", "pressure valves", now, "vacuum_relief_stuck_closed", {}},
      {"vacuum_relief", "leaks", K::enclosure, "does not close: passes a tenth either way", "B", "pressure valves", now, "vacuum_relief_leaking 10 %", air_comes_in},
      {"vacuum_relief", "stuck_open", K::enclosure, "does not close: lets air in", "B", "pressure valves", now, "vacuum_relief_leaking", air_comes_in},
      {"blanket", "stuck_closed", K::valve, "its regulator does not open", "B", "pressure valves", now, "blanket_stuck_closed", {}},
      {"blanket", "stuck_open", K::valve, "its regulator does not close: passes its largest flow", "B", "pressure valves", now, "blanket_stuck_open", {}},
      {"blanket", "set_high", K::valve, "its regulator is set to five times its pressure", "B", "pressure valves", now, "blanket_set_high", {}},
      {"blanket", "set_low", K::valve, "its spring slackens: half its pressure", "B", "springs", now, "blanket_set_low 50 %", {}},
      {"blanket", "sweep_blocked", K::valve, "its throttle clogs", "", "", now, "blanket_sweep_blocked", {}},
      {"door_valve", "stuck_open", K::valve, "does not close with the door open", "B", "directional valves", now, "door_gas_valve_stuck_open", {}},
      {"door_valve", "leaks", K::valve, "passes a tenth with the door open", "B", "directional valves", now, "door_gas_valve_stuck_open 10 %", {}},
      {"door_valve", "stuck_closed", K::valve, "does not open with the door closed", "B", "directional valves", now, "door_gas_valve_stuck_closed", {purge_flow_missing, process_flow_missing}},
      {"door_valve", "late", K::valve, "lever worn: closes 30 % of the door's way late", "A", "moving parts", now, "door_gas_valve_late 60 %", {}},
      {"supply", "lost", K::supply, "no pressure", "", "", now, "supply_failing", {gas_supply_lost}},
      {"supply", "dips", K::supply, "no pressure for 5 s", "", "", briefly, "supply_failing for 5 s", {gas_supply_lost}},
      {"supply", "fading", K::supply, "cylinders run empty over an hour", "", "", slowly, "supply_failing 100 % over 1 h", {gas_supply_lost, purge_flow_missing, process_flow_missing, repurge_limit}},
      {"te_a", "slipped", K::sensor, "slipped out: feels the casing", "", "", now, "thermocouple_a_slipped", slipped},
      {"te_a", "slipping", K::sensor, "slips out over an hour", "", "", slowly, "thermocouple_a_slipped 100 % over 1 h", slipped},
      {"te_b", "slipped", K::sensor, "slipped out: feels the casing", "", "", now, "thermocouple_b_slipped", slipped, Part::second_thermocouple},
      {"te_b", "slipping", K::sensor, "slips out over an hour", "", "", slowly, "thermocouple_b_slipped 100 % over 1 h", slipped, Part::second_thermocouple},
      {"limiter", "fails_to_trip", K::chain, "does not trip when it is too hot", "D", "hard-wired protection", now, "limiter_failed", {}},
      {"limiter", "slipped", K::chain, "its thermocouple feels the casing", "", "", now, "limiter_thermocouple_slipped", {}},
      {"oxygen", "cell_cold", K::sensor, "cell heater fails", "", "", now, "oxygen_cell_heater_failed", {oxygen_invalid}, Part::oxygen_monitor},
      {"oxygen", "cell_cracked", K::sensor, "cell cracked: reads high", "", "", now, "oxygen_cell_cracked", {oxygen_not_falling, gate_not_met_in_time, repurge_limit, oxygen_air_check_failed}, Part::oxygen_monitor},
      {"oxygen", "cell_cracking", K::sensor, "cell cracks over 2 h: reads higher", "", "", slowly, "oxygen_cell_cracked 20 % over 2 h", {oxygen_not_falling, gate_not_met_in_time, repurge_limit, oxygen_air_check_failed}, Part::oxygen_monitor},
  };
  // clang-format on
}

/// True if the oven has the component.
bool fitted(const Line& line, const machine::Machine& machine) {
  if (line.tag == "relief") return machine.plant.exhaust.relief_pressure_Pa.has_value();
  if (line.tag == "vacuum_relief") {
    return machine.plant.chamber.vacuum_relief_pressure_Pa.has_value();
  }
  const plant::BlanketParameters& blanket = machine.plant.blanket;
  if (line.tag == "blanket") {
    return blanket.pressure_Pa.has_value() &&
           (line.name != "sweep_blocked" || blanket.sweep_L_per_min > 0.0);
  }
  if (line.tag == "door_valve") return machine.plant.door.gas_valve_opening.has_value();
  return machine::has_part(line.part, machine.settings.options);
}

}  // namespace

std::vector<Mode> component_modes(const machine::Machine& machine) {
  std::vector<Mode> all;
  for (const Line& line : lines()) {
    if (!fitted(line, machine)) continue;
    Mode mode;
    mode.component = tag_of(line.tag, machine);
    mode.id = fmt::format("{}.{}", mode.component, line.name);
    mode.kind = line.kind;
    mode.what = line.what;
    mode.source = line.list.empty() ? std::string(usual)
                                    : fmt::format("ISO 13849-2 {}: {}", line.list, line.list_part);
    mode.realisations.push_back(realise(line.onset, {fmt::format("fault: {}", line.fault)}));
    mode.right_first_outs = line.right;
    all.push_back(std::move(mode));
  }
  return all;
}

}  // namespace ovenproof::campaign
