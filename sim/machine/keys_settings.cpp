#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include <fmt/format.h>

#include "firmware/settings/table.hpp"
#include "sim/machine/key_rows.hpp"

/// The table of keys: the controller's settings. Range, default, meaning and source come from the
/// firmware's own table; here stands only what it cannot know: which of them are facts about the
/// oven that the plant needs too, which every file must state, and which part they belong to.
namespace ovenproof::machine::rows {

namespace {

using settings::Descriptor;
using settings::Value;

/// How a setting's unit is written in a file.
struct Written {
  Dimension dimension;
  std::string_view unit;  ///< shown
  Unit stored;            ///< the setting's own unit, against the base unit
};

Written written(const Descriptor& setting) {
  const std::string_view unit = setting.unit;
  const bool whole = setting.kind == settings::Kind::integer;
  if (unit == "ms") return {Dimension::time, "s", {"ms", 1e-3}};
  if (unit == "permille") return {Dimension::ratio, "%", {"permille", 1e-3}};
  if (unit == "permille/s") return {Dimension::drive_rate, "%/s", {"permille/s", 1e-3}};
  if (unit == "1" || unit.empty()) return {Dimension::number, "", {"1", 1.0}};
  if (!whole) {
    for (int i = 0; i < static_cast<int>(Dimension::count); ++i) {
      const auto dimension = static_cast<Dimension>(i);
      // K is a temperature to a thermometer, but settings measure temperatures in degC.
      if (dimension == Dimension::temperature && unit != "degC") continue;
      if (const Unit* known = find_unit(dimension, unit)) return {dimension, known->symbol, *known};
    }
  }
  // A new unit in the firmware's table needs a line above; the tests walk the whole table.
  std::abort();
}

/// The decimal number that a person who typed this float32 meant: 0.1, not 0.10000000149.
double shortest(float value) { return std::strtod(fmt::format("{}", value).c_str(), nullptr); }

double to_base(const Descriptor& setting, const Written& how, Value value) {
  if (setting.kind == settings::Kind::number)
    return from_unit(shortest(value.as_number()), how.stored);
  return from_unit(value.as_integer(), how.stored);
}

Value from_base(const Descriptor& setting, const Written& how, double base) {
  const double value = to_unit(base, how.stored);
  if (setting.kind == settings::Kind::number) return Value::number(static_cast<float>(value));
  return {setting.kind, static_cast<std::uint32_t>(std::llround(value))};
}

/// By the beginning of the key, so that a new setting of a group is at home in it.
Part part_of(std::string_view key) {
  struct Belongs {
    std::string_view beginning;
    Part part;
  };
  constexpr std::array<Belongs, 14> table{{
      {"contacts.door_discrepancy", Part::second_door_contact},
      {"purge.gate", Part::oxygen_monitor},
      {"purge.hold_", Part::oxygen_monitor},
      {"purge.max_repurges", Part::oxygen_monitor},
      {"timing.damper_", Part::jacket_cooling},
      {"timing.blower_", Part::jacket_cooling},
      {"temperature.disagree_", Part::second_thermocouple},
      // The transmitter's own cell is regulated too, out of the controller's sight.
      {"oxygen.cell_temperature", Part::oxygen_monitor},
      {"oxygen.cell_", Part::oxygen_cell},
      {"oxygen.frozen_cell_", Part::oxygen_cell},
      {"oxygen.transmitter_", Part::oxygen_transmitter},
      {"oxygen.loop_", Part::oxygen_transmitter},
      {"oxygen.", Part::oxygen_monitor},
      {"", Part::every_oven},
  }};
  return std::find_if(table.begin(), table.end(),
                      [&](const Belongs& row) { return key.starts_with(row.beginning); })
      ->part;
}

/// What no default can know.
bool is_required(std::string_view key) {
  constexpr std::array<std::string_view, 16> table{"options.gas",
                                                   "options.oxygen_sensor",
                                                   "options.jacket_cooling",
                                                   "options.start_by_door",
                                                   "options.door_contacts",
                                                   "options.thermocouples",
                                                   "purge.chamber_volume",
                                                   "options.thermocouple_type",
                                                   "purge.purge_flow",
                                                   "purge.process_flow",
                                                   "purge.gate",
                                                   "purge.hold_limit",
                                                   "temperature.high_limit",
                                                   "oxygen.transmitter_scale",
                                                   "oxygen.transmitter_low",
                                                   "oxygen.transmitter_high"};
  return std::find(table.begin(), table.end(), key) != table.end();
}

Key setting_key(const Descriptor& setting, std::string path) {
  Key key;
  key.path = std::move(path);
  key.setting = setting.key;
  key.what = setting.what;
  key.source = setting.why;
  key.part = part_of(setting.key);
  key.required = is_required(setting.key);
  const Written how = written(setting);
  key.dimension = how.dimension;
  key.unit = how.unit;
  key.minimum = to_base(setting, how, setting.minimum);
  key.maximum = to_base(setting, how, setting.maximum);
  switch (setting.kind) {
    case settings::Kind::number:
      key.kind = KeyKind::quantity;
      break;
    case settings::Kind::integer:
      key.kind = setting.unit == "1" ? KeyKind::count : KeyKind::quantity;
      key.resolution = how.stored.factor;
      break;
    case settings::Kind::boolean:
      key.kind = KeyKind::flag;
      break;
    case settings::Kind::choice:
      key.kind = KeyKind::choice;
      key.choices.assign(setting.choices.begin(), setting.choices.end());
      break;
  }
  key.put = [&setting, how](Machine& machine, std::size_t, double value) {
    setting.set(machine.settings, from_base(setting, how, value));
  };
  key.get = [&setting, how](const Machine& machine, std::size_t) {
    return to_base(setting, how, setting.get(machine.settings));
  };
  return key;
}

/// "target" of "programme.segment_1.target"; empty for a setting that is not of the first segment.
std::string_view of_first_segment(std::string_view key) {
  constexpr std::string_view prefix = "programme.segment_1.";
  return key.starts_with(prefix) ? key.substr(prefix.size()) : std::string_view{};
}

bool of_any_segment(std::string_view key) { return key.starts_with("programme.segment_"); }

/// The key of a list's items: the settings of all segments lie behind one key.
Key segment_key(const Descriptor& first, std::string_view name) {
  Key key = setting_key(first, fmt::format("{}[].{}", segment_list, name));
  key.required = true;
  std::vector<const Descriptor*> each;
  for (std::size_t i = 1; i <= settings::max_segments; ++i) {
    const auto index = settings::find(fmt::format("programme.segment_{}.{}", i, name));
    each.push_back(&settings::table[index.value()]);
  }
  const Written how = written(first);
  key.put = [each, how](Machine& machine, std::size_t item, double value) {
    each.at(item)->set(machine.settings, from_base(*each.at(item), how, value));
  };
  key.get = [each, how](const Machine& machine, std::size_t item) {
    return to_base(*each.at(item), how, each.at(item)->get(machine.settings));
  };
  return key;
}

/// Lets a key of the settings fill the plant as well. The range becomes what both allow.
void share(std::vector<Key>& keys, std::string_view path,
           std::function<void(Machine&, double)> also, double minimum = -HUGE_VAL,
           double maximum = HUGE_VAL) {
  const auto key =
      std::find_if(keys.begin(), keys.end(), [&](const Key& k) { return k.path == path; });
  if (key == keys.end()) std::abort();  // a setting was renamed; every test would show it
  key->minimum = std::max(key->minimum, minimum);
  key->maximum = std::min(key->maximum, maximum);
  key->fills_plant = true;
  key->put = [first = key->put, also = std::move(also)](Machine& machine, std::size_t item,
                                                        double value) {
    first(machine, item, value);
    also(machine, value);
  };
}

}  // namespace

std::vector<Key> setting_keys() {
  std::vector<Key> keys;
  for (const Descriptor& setting : settings::table) {
    if (setting.key == "programme.segment_count") continue;  // the length of the list
    if (const std::string_view name = of_first_segment(setting.key); !name.empty()) {
      keys.push_back(segment_key(setting, name));
    } else if (!of_any_segment(setting.key)) {
      keys.push_back(setting_key(setting, std::string(setting.key)));
    }
  }
  share(keys, "options.gas", [](Machine& m, double v) {
    m.plant.supply.gas = v == 0.0 ? plant::Gas::nitrogen : plant::Gas::argon;
  });
  share(keys, "options.jacket_cooling",
        [](Machine& m, double v) { m.plant.cooling.fitted = v != 0.0; });
  share(keys, "options.thermocouple_type", [](Machine& m, double v) {
    m.plant.thermocouples.type = v == 0.0 ? plant::ThermocoupleType::k : plant::ThermocoupleType::n;
  });
  share(
      keys, "purge.chamber_volume", [](Machine& m, double v) { m.plant.chamber.volume_m3 = v; },
      0.01, 10.0);
  share(
      keys, "purge.purge_flow", [](Machine& m, double v) { m.plant.supply.purge_L_per_min = v; },
      1.0, 2000.0);
  share(
      keys, "purge.process_flow",
      [](Machine& m, double v) { m.plant.supply.process_L_per_min = v; }, 0.1, 500.0);
  share(
      keys, "oxygen.cell_temperature",
      [](Machine& m, double v) { m.plant.oxygen.cell_temperature_degC = v; }, 600.0, 900.0);
  share(keys, "oxygen.transmitter_scale", [](Machine& m, double v) {
    m.plant.oxygen.scale =
        v == 0.0 ? plant::TransmitterScale::linear : plant::TransmitterScale::logarithmic;
  });
  share(
      keys, "oxygen.transmitter_low",
      [](Machine& m, double v) { m.plant.oxygen.transmitter_low_ppm = v; }, 0.0, 1e6);
  share(
      keys, "oxygen.transmitter_high",
      [](Machine& m, double v) { m.plant.oxygen.transmitter_high_ppm = v; }, 0.0, 1e6);
  return keys;
}

}  // namespace ovenproof::machine::rows
