#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/evidence/sections.hpp"
#include "sim/machine/keys.hpp"

namespace ovenproof::evidence {
namespace {

using machine::Key;
using machine::Machine;

Json io_list(const Machine& m) {
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
  return points;
}

Json setting(const Key& key, const Machine& m, std::size_t item, std::string path) {
  static const Machine standard = machine::default_machine();
  const std::string value = value_text(key, m, item);
  const std::string usual =
      key.required || key.path.starts_with(machine::segment_list) ? "" : value_text(key, standard);
  return {{"key", std::move(path)},
          {"value", value},
          {"default", usual},
          {"changed", value != usual},
          {"accepts", accepts_text(key)},
          {"what", key.what},
          {"source", key.source},
          {"fills", key.setting.empty() ? "plant"
                    : key.fills_plant   ? "controller, plant"
                                        : "controller"}};
}

/// Names and tags of the machine itself are shown elsewhere.
Json settings_list(const Machine& m) {
  Json all = Json::array();
  for (const Key& key : machine::all_keys()) {
    if (!has_part(key.part, m.settings.options)) continue;
    const machine::List* list = machine::list_of(key.path);
    if (list == nullptr) {
      if (key.kind != machine::KeyKind::text) all.push_back(setting(key, m, 0, key.path));
      continue;
    }
    for (std::size_t i = 0; i < list->size(m); ++i) {
      if (!has_value(key, m, i)) continue;
      all.push_back(setting(
          key, m, i,
          fmt::format("{}[{}]{}", list->path, i + 1, key.path.substr(list->path.size() + 2))));
    }
  }
  return all;
}

}  // namespace

Json machine_section(const Machine& m) {
  return {{"name", m.name},   {"description", m.description}, {"load", m.load}, {"file", m.path},
          {"io", io_list(m)}, {"settings", settings_list(m)}};
}

}  // namespace ovenproof::evidence
