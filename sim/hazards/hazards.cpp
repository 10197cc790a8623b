#include "sim/hazards/hazards.hpp"

#include <fmt/format.h>

#include "firmware/settings/table.hpp"
#include "sim/properties/units.hpp"
#include "sim/rig/probes.hpp"

namespace ovenproof::hazards {

const std::vector<Hazard>& default_hazards() {
  // A time beside a condition is how long the oven's own parts need to leave it: contactors drop
  // out, valves close, blowers run down. A limit of Truth needs none.
  static const std::vector<Hazard> all{
      {"heat_with_door_open", "heater power with the door open",
       "burns; ignition of whatever the open chamber meets",
       "never ((plant.heater_power > 1 W and plant.door_opening > 0.02) for at least 300 ms)"},
      {"heat_without_airflow", "heater power without circulation",
       "elements and load overheat where no thermocouple sits",
       "never ((plant.heater_power > 1 W and plant.fan_airflow < 0.5) for at least 2 s)"},
      {"heat_in_air", "heater power in a chamber that holds oxygen",
       "the load oxidises; vapours may ignite",
       "never ((plant.heater_power > 1 W and plant.oxygen > limit.load_oxygen)"
       " for at least 30 s)"},
      {"chamber_too_hot", "chamber wall above its limit", "the chamber deforms and leaks; fire",
       "always plant.wall <= limit.wall"},
      {"element_too_hot", "element above its limit", "elements fail; fire",
       "always plant.element <= limit.element"},
      {"load_hot_in_oxygen", "load hot in oxygen above its limit", "the load is spoiled; fire",
       "never ((plant.load > limit.load_temperature and plant.oxygen > limit.load_oxygen)"
       " for at least 10 s)"},
      {"gas_with_door_open", "inert gas flows with the door open",
       "people at the door breathe too little oxygen",
       "never ((plant.purge_flow + plant.process_flow > 1 L/min and plant.door_opening > 0.05)"
       " for at least 2 s)"},
      {"room_oxygen_low", "oxygen in the room below 19.5 %", "suffocation without warning",
       "always plant.room_oxygen >= 19.5 %"},
      {"energised_without_start", "energised from rest without a start",
       "people are caught by heat, gas or motion they did not ask for",
       // At rest is what has been off for longer than the gas takes to change paths. What is
       // energised from the first scan on does not rise: nor has the oven been reset yet.
       "never ((falls((not board.anything) for at least 2 s) and not (once within 1 s hands.start)"
       " and not"
       " (machine.start_by_door and (once within 3 s falls(plant.door_opening > 0.01)) and"
       " (phase in {standby, purging} since phase = unloading)))"
       " or (board.anything and not once not (phase = tripped)))"},
      {"both_gas_paths", "purge and process path open at once",
       "more gas than exhaust and room are made for",
       "never ((plant.purge_flow > 1 L/min and plant.process_flow > 1 L/min) for at least 1 s)"},
      {"overpressure", "chamber pressure above its limit", "the door or the chamber gives way",
       "always plant.pressure <= limit.pressure"},
      {"blower_against_damper", "blowers against a closed damper",
       "the blowers overheat; the chamber is not cooled",
       "never ((plant.blower_speed > 0.5 and plant.damper_opening < 0.1) for at least 10 s)"},
  };
  return all;
}

properties::SignalTable signal_table(const rig::Oven& oven) {
  properties::SignalTable table;
  for (const rig::Probe& probe : rig::probes()) {
    std::string name(probe.name);
    std::string description(probe.description);
    switch (probe.kind) {
      case rig::ProbeKind::boolean:
        table.add_boolean(std::move(name), std::move(description));
        break;
      case rig::ProbeKind::number:
        table.add_number(std::move(name), probe.unit, std::move(description));
        break;
      case rig::ProbeKind::state:
        table.add_state(std::move(name), {probe.labels.begin(), probe.labels.end()},
                        std::move(description));
        break;
    }
  }
  const plant::Parameters& p = oven.plant;
  table.add_constant("limit.wall", p.wall.max_temperature_degC, "degC");
  table.add_constant("limit.element", p.heater.max_temperature_degC, "degC");
  table.add_constant("limit.load_temperature", p.load.oxidation_temperature_degC, "degC");
  table.add_constant("limit.load_oxygen", p.load.max_oxygen_ppm, "ppm");
  table.add_constant("limit.pressure", p.chamber.max_pressure_Pa, "Pa");
  for (const settings::Descriptor& entry : settings::table) {
    // A unit that the language cannot write, or a truth or choice: nothing to compare with.
    if (entry.unit.empty() || !properties::parse_unit(entry.unit)) continue;
    const settings::Value value = entry.get(oven.settings);
    const double number = value.kind == settings::Kind::number
                              ? static_cast<double>(value.as_number())
                              : static_cast<double>(value.as_integer());
    table.add_constant(fmt::format("setting.{}", entry.key), number, entry.unit,
                       std::string(entry.what));
  }
  return table;
}

}  // namespace ovenproof::hazards
