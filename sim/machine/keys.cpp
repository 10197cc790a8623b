#include "sim/machine/keys.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "sim/machine/key_rows.hpp"

namespace ovenproof::machine {

namespace rows {

Key text_key(std::string path, int most_characters, std::string Machine::*member,
             std::string_view what) {
  Key key;
  key.path = std::move(path);
  key.kind = KeyKind::text;
  key.minimum = 1;
  key.maximum = most_characters;
  key.what = what;
  key.get_texts = [member](const Machine& machine, std::size_t) {
    return (machine.*member).empty() ? std::vector<std::string>{}
                                     : std::vector<std::string>{machine.*member};
  };
  key.put_texts = [member](Machine& machine, std::size_t, std::vector<std::string> texts) {
    machine.*member = std::move(texts.front());
  };
  return key;
}

Unit unit_or_one(Dimension dimension, std::string_view symbol) {
  const Unit* known = find_unit(dimension, symbol);
  return known == nullptr ? Unit{"", 1.0} : *known;
}

Key quantity_key(std::string path, std::string_view unit, Dimension dimension, double minimum,
                 double maximum, std::string_view what, std::string_view source, Part part) {
  Key key;
  key.path = std::move(path);
  key.kind = KeyKind::quantity;
  key.dimension = dimension;
  key.unit = unit;
  key.minimum = from_unit(minimum, unit_or_one(dimension, unit));
  key.maximum = from_unit(maximum, unit_or_one(dimension, unit));
  key.what = what;
  key.source = source;
  key.part = part;
  return key;
}

std::vector<Key> tag_keys() {
  std::vector<Key> keys;
  for (std::size_t i = 0; i < point_count; ++i) {
    const Point& point = all_points()[i];
    Key key;
    key.path = fmt::format("tags.{}", point.key);
    key.kind = KeyKind::text;
    key.minimum = 1;
    key.maximum = 16;
    key.what = point.what;
    key.source = point.tag_source;
    key.part = point.part;
    key.form = TextForm::tag;
    key.tag = i;
    key.get_texts = [i](const Machine& machine, std::size_t) {
      return std::vector<std::string>{machine.tags[i]};
    };
    key.put_texts = [i](Machine& machine, std::size_t, std::vector<std::string> texts) {
      machine.tags[i] = std::move(texts.front());
    };
    keys.push_back(std::move(key));
  }
  return keys;
}

}  // namespace rows

namespace {

struct Section {
  std::string_view name;
  std::string_view title;
};

/// In the order of the reference and of a file that reads well.
constexpr std::array<Section, 34> sections{{
    {"", "The file as a whole"},
    {"options", "What the oven is made of"},
    {"purge", "Chamber, gas and purge"},
    {"programme", "Temperature programme"},
    {"temperature", "Control temperature: limit and plausibility"},
    {"limiter", "Over-temperature limiter, hard-wired and independent of the controller"},
    {"cooling", "Cool-down and forced jacket cooling"},
    {"oxygen", "Oxygen monitor"},
    {"control", "Temperature controller and heater drive"},
    {"timing", "How long each actuator may take to prove itself"},
    {"contacts", "Contact inputs"},
    {"scan", "The controller's scan"},
    {"load", "What is treated"},
    {"chamber", "Sealed chamber"},
    {"supply", "Gas supply"},
    {"blanket",
     "Self-acting blanket: a mechanical regulator and a throttle, without power or controller"},
    {"tightness", "Ways in and out of the chamber besides valves and exhaust"},
    {"exhaust", "Exhaust with its non-return valve, and the chamber's relief valve"},
    {"mixing", "Mixing of the gas in the chamber"},
    {"door", "Loading door"},
    {"fan", "Circulation fan"},
    {"heater", "Electric heater"},
    {"wall", "Wall of the chamber"},
    {"insulation", "Insulation and casing"},
    {"thermocouples", "Control thermocouples and their terminals"},
    {"contactors", "Regulating and safety contactor"},
    {"outputs", "Supply of the controller's outputs"},
    {"emergency_stop", "Emergency stop, outside the hard-wired chain of the heat"},
    {"switches", "Pressure and flow switches"},
    {"room", "The room the oven stands in"},
    {"people", "People who load and unload, as the operating instructions say"},
    {"safety", "Safety functions and the reliability of their parts"},
    {"campaign", "Failure modes that are accepted, excluded or added"},
    {"sign_off", "Who signs for the accepted and excluded failure modes and for `safety`"},
}};
constexpr Section tag_section{"tags",
                              "Tags of the I/O points, where they differ from the standard ones"};

const std::array<List, 6>& lists() {
  static const std::array<List, 6> table{
      {{segment_list, "Steps of the programme, in order", "a segment: target, ramp and soak",
        "segments", true, settings::max_segments,
        [](const Machine& m) -> std::size_t { return m.settings.programme.segment_count; },
        [](Machine& m, std::size_t size) {
          m.settings.programme.segment_count =
              static_cast<decltype(m.settings.programme.segment_count)>(size);
        },
        nullptr},
       rows::component_list,
       rows::function_list,
       rows::accepted_list,
       rows::excluded_list,
       rows::added_list}};
  return table;
}

std::string_view section_of(std::string_view path) {
  const std::size_t dot = path.find('.');
  return dot == std::string_view::npos ? std::string_view{} : path.substr(0, dot);
}

std::vector<Key> make_table() {
  std::vector<Key> keys;
  const auto require = [](Key key) {
    key.required = true;
    return key;
  };
  keys.push_back(require(rows::text_key("name", 120, &Machine::name, "what the oven is called")));
  keys.push_back(
      rows::text_key("description", 2000, &Machine::description, "what it is, for people"));
  keys.push_back(
      rows::text_key("load.description", 200, &Machine::load, "what is treated, in words"));
  for (auto part :
       {rows::setting_keys(), rows::plant_gas_keys(), rows::plant_heat_keys(), rows::people_keys(),
        rows::safety_keys(), rows::campaign_keys(), rows::sign_off_keys(), rows::tag_keys()}) {
    std::move(part.begin(), part.end(), std::back_inserter(keys));
  }
  constexpr std::array<std::string_view, 6> required{"heater.power",        "limiter.set_point",
                                                     "load.mass",           "cooling.airflow",
                                                     "cooling.damper_open", "cooling.damper_close"};
  for (Key& key : keys) {
    if (std::find(required.begin(), required.end(), key.path) != required.end())
      key.required = true;
  }
  const auto rank = [](const Key& key) {
    const auto at = std::find_if(sections.begin(), sections.end(),
                                 [&](const Section& s) { return s.name == section_of(key.path); });
    return at - sections.begin();
  };
  std::stable_sort(keys.begin(), keys.end(),
                   [&](const Key& a, const Key& b) { return rank(a) < rank(b); });
  return keys;
}

/// Times read best in the largest unit that keeps them whole.
std::string_view time_unit(double seconds) {
  const auto whole = [](double value) { return std::fabs(value - std::round(value)) < 1e-9; };
  if (seconds >= 7200 && whole(seconds / 3600)) return "h";
  if (seconds >= 120 && whole(seconds / 60)) return "min";
  if (seconds > 0 && seconds < 1) return "ms";
  return "s";
}

std::string number_text(const Key& key, double value) {
  if (key.kind == KeyKind::count) return fmt::format("{:.0f}", value);
  return format_quantity(value, key.dimension,
                         key.dimension == Dimension::time ? time_unit(value) : key.unit);
}

std::string form_text(const Key& key) {
  switch (key.form) {
    case TextForm::tag:
      return "a tag such as XV-101 (a capital letter, then up to 15 of A-Z, 0-9, dot and dash)";
    case TextForm::date:
      return "a day such as 2026-03-31";
    case TextForm::digest:
      return "32 hexadecimal digits";
    case TextForm::any:
      break;
  }
  return fmt::format("text of 1 to {:.0f} characters", key.maximum);
}

std::string words_text(const std::vector<std::string_view>& words) {
  return fmt::format("{}", fmt::join(words, ", "));
}

}  // namespace

const std::vector<Key>& all_keys() {
  static const std::vector<Key> table = make_table();
  return table;
}

std::span<const List> all_lists() { return lists(); }

const List* list_of(std::string_view key) {
  const std::size_t brackets = key.find("[]");
  return brackets == std::string_view::npos ? nullptr : find_list(key.substr(0, brackets));
}

const List* find_list(std::string_view path) {
  const auto found =
      std::find_if(lists().begin(), lists().end(), [&](const List& l) { return l.path == path; });
  return found == lists().end() ? nullptr : &*found;
}

const Key* find_key(std::string_view path) {
  static const std::map<std::string_view, const Key*> index = [] {
    std::map<std::string_view, const Key*> by_path;
    for (const Key& key : all_keys()) by_path.emplace(key.path, &key);
    return by_path;
  }();
  const auto found = index.find(path);
  return found == index.end() ? nullptr : found->second;
}

bool is_section(std::string_view path) { return !path.empty() && !section_title(path).empty(); }

std::string_view section_title(std::string_view section) {
  if (section == tag_section.name) return tag_section.title;
  if (const List* list = find_list(section)) return list->title;
  const auto found = std::find_if(sections.begin(), sections.end(),
                                  [&](const Section& s) { return s.name == section; });
  return found == sections.end() ? std::string_view{} : found->title;
}

Machine default_machine() {
  Machine machine;
  // A fact that settings and plant share has one default: the setting's.
  for (const Key& key : all_keys()) {
    if (key.put && key.fills_plant && !key.setting.empty())
      key.put(machine, 0, key.get(machine, 0));
  }
  return machine;
}

bool has_value(const Key& key, const Machine& machine, std::size_t item) {
  const List* list = list_of(key.path);
  if (list != nullptr && item >= list->size(machine)) return false;
  if (key.get_texts) return !key.get_texts(machine, item).empty();
  return !std::isnan(key.get(machine, item));
}

std::string value_text(const Key& key, const Machine& machine, std::size_t item) {
  if (!has_value(key, machine, item)) return "";
  if (key.kind == KeyKind::text) return key.get_texts(machine, item).front();
  if (key.kind == KeyKind::names) {
    return fmt::format("[{}]", fmt::join(key.get_texts(machine, item), ", "));
  }
  const double value = key.get(machine, item);
  if (key.kind == KeyKind::flag) return value != 0.0 ? "true" : "false";
  if (key.kind == KeyKind::choice)
    return std::string(key.choices.at(static_cast<std::size_t>(value)));
  return number_text(key, value);
}

std::string accepts_text(const Key& key) {
  switch (key.kind) {
    case KeyKind::text:
      return form_text(key);
    case KeyKind::names:
      return key.choices.empty() ? fmt::format("a list of 1 to {:.0f} names", key.maximum)
                                 : fmt::format("a list of some of {}", words_text(key.choices));
    case KeyKind::flag:
      return "true or false";
    case KeyKind::choice:
      return "one of " + words_text(key.choices);
    case KeyKind::count:
      return fmt::format("a whole number from {:.0f} to {:.0f}", key.minimum, key.maximum);
    case KeyKind::quantity:
      break;
  }
  return fmt::format("{} from {} to {}", name_of(key.dimension), number_text(key, key.minimum),
                     number_text(key, key.maximum));
}

std::string default_text(const Key& key) {
  if (key.required || (key.kind == KeyKind::text && !key.tag)) return "";
  static const Machine machine = default_machine();
  return value_text(key, machine);
}

}  // namespace ovenproof::machine
