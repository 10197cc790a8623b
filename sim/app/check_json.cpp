#include <nlohmann/json.hpp>

#include "sim/app/cautions.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/sign_off_report.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/warnings.hpp"
#include "sim/sizing/size.hpp"

namespace ovenproof::app {

namespace {

using Json = nlohmann::ordered_json;
using machine::Key;
using machine::Machine;

Json place_json(machine::Place at) {
  return at.line == 0 ? Json(nullptr) : Json{{"line", at.line}, {"column", at.column}};
}

Json errors_json(const std::vector<machine::Error>& errors) {
  Json list = Json::array();
  for (const machine::Error& error : errors) {
    Json one{{"at", place_json(error.at)},
             {"key", error.key},
             {"expected", error.expected},
             {"found", error.found},
             {"hint", error.hint}};
    for (const machine::Related& other : error.related) {
      one["related"].push_back(
          {{"at", place_json(other.at)}, {"key", other.key}, {"found", other.what}});
    }
    list.push_back(std::move(one));
  }
  return list;
}

Json value_json(const Key& key, const Machine& m, std::size_t item) {
  if (key.kind == machine::KeyKind::names) return key.get_texts(m, item);
  if (key.kind == machine::KeyKind::flag) return key.get(m, item) != 0.0;
  if (key.kind == machine::KeyKind::count) return static_cast<long long>(key.get(m, item));
  if (key.kind == machine::KeyKind::quantity && key.dimension == machine::Dimension::number) {
    return key.get(m, item);
  }
  return value_text(key, m, item);
}

Json machine_json(const Machine& m) {
  Json values = Json::object();
  for (const Key& key : machine::all_keys()) {
    if (!has_part(key.part, m.settings.options)) continue;
    const machine::List* list = machine::list_of(key.path);
    if (list == nullptr) {
      // Names and descriptions stand beside the values.
      if (key.kind != machine::KeyKind::text) values[key.path] = value_json(key, m, 0);
      continue;
    }
    const std::string name = key.path.substr(list->path.size() + 3);
    for (std::size_t i = 0; i < list->size(m); ++i) {
      if (has_value(key, m, i)) values[std::string(list->path)][i][name] = value_json(key, m, i);
    }
  }
  Json points = Json::array();
  for (std::size_t i = 0; i < machine::point_count; ++i) {
    const machine::Point& point = machine::all_points()[i];
    if (!has_part(point.part, m.settings.options)) continue;
    points.push_back({{"tag", m.tags[i]},
                      {"type", short_name(point.signal)},
                      {"key", point.key},
                      {"what", point.what},
                      {"electrical", point.electrical}});
  }
  const sizing::Sizing sizing = sizing::size(m, sizing::formulas_alone());
  Json figures = Json::object();
  for (const sizing::Figure& figure : sizing.figures) {
    figures[std::string(figure.id)] = {
        {"value", figure.predicted ? Json(*figure.predicted) : Json()},
        {"unit", figure.unit},
        {"what", figure.what},
        {"formula", figure.formula->name}};
  }
  return {{"name", m.name},     {"description", m.description},
          {"load", m.load},     {"sign_off", sign_off_json(m)},
          {"values", values},   {"io", points},
          {"derived", figures}, {"cautions", sizing.cautions}};
}

}  // namespace

std::string check_json(const std::vector<Checked>& all) {
  Json machines = Json::array();
  for (const Checked& one : all) {
    Json entry{{"file", machine::shown(one.file, 4096)}};
    if (const auto* machine = std::get_if<Machine>(&one.loaded)) {
      entry["valid"] = true;
      entry.update(machine_json(*machine));
      entry["warnings"] = errors_json(machine::warnings_in_file(one.file));
    } else {
      entry["valid"] = false;
      entry["errors"] = errors_json(std::get<std::vector<machine::Error>>(one.loaded));
    }
    machines.push_back(std::move(entry));
  }
  return Json{{"machines", std::move(machines)}, {"caution", caution}}.dump(2) + '\n';
}

}  // namespace ovenproof::app
