#include <nlohmann/json.hpp>

#include "firmware/controller/configuration.hpp"
#include "firmware/logic/matrix.hpp"
#include "sim/evidence/cause_texts.hpp"
#include "sim/evidence/loop_checks.hpp"
#include "sim/evidence/reaction.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/trip_tests.hpp"
#include "sim/evidence/values.hpp"
#include "sim/machine/airing.hpp"
#include "sim/machine/cause_tags.hpp"

namespace ovenproof::evidence {
namespace {

/// In a machine without the part, a cause of the matrix cannot occur, and nobody can test it.
bool can_occur(const logic::Row& row, const controller::Configuration& configuration,
               const machine::Machine& machine) {
  return fitted(row.needs, configuration.options) &&
         has_part(trip_test_of(row.cause).part, machine.settings.options);
}

Json loop_checks(const machine::Machine& m) {
  Json checks = Json::array();
  for (std::size_t i = 0; i < machine::point_count; ++i) {
    const machine::Point& point = machine::all_points()[i];
    if (!has_part(point.part, m.settings.options)) continue;
    const LoopCheck& check = loop_check_of(point);
    checks.push_back({{"tag", m.tags[i]},
                      {"type", short_name(point.signal)},
                      {"what", point.what},
                      {"isolate", check.isolate},
                      {"do", check.act},
                      {"expect", check.expect},
                      {"restore", check.restore}});
  }
  return checks;
}

/// What the operating instructions must say of the open door.
Json unloading(const machine::Machine& m) {
  const std::optional<double> needed_s = machine::airing_needed_s(m.plant);
  return {{"airing_s", m.plant.people.airing_s},
          {"needed_s", needed_s ? Json(*needed_s) : Json()},
          {"unload_degC", m.settings.cooling.unload_temperature.value},
          {"handling_degC", m.plant.people.handling_temperature_degC}};
}

Json witnessed(const logic::Row& row, const machine::Machine& machine,
               const controller::Configuration& configuration) {
  const TripTest& test = trip_test_of(row.cause);
  Json json{{"cause", row.key},        {"tag", machine::tags_of_cause(row.key, machine)},
            {"text", row.text},        {"kind", row.kind == logic::Kind::trip ? "trip" : "inhibit"},
            {"isolate", test.isolate}, {"do", test.act},
            {"restore", test.restore}, {"off", names_of(row.withholds)}};
  if (const std::optional<Reaction> reaction = reaction_of(row, configuration)) {
    json["expected_s"] = seconds(std::uint64_t{reaction->conditioning_ms} + reaction->delay_ms);
    json["latest_s"] = seconds(reaction->latest_ms);
  } else {
    json["expected_s"] = nullptr;
    json["latest_s"] = nullptr;
  }
  return json;
}

}  // namespace

Json commissioning_section(const machine::Machine& machine) {
  const controller::Configuration configuration = controller::configure(machine.settings);
  Json rows = Json::array();
  for (const logic::Row& row : logic::matrix) {
    if (can_occur(row, configuration, machine)) {
      rows.push_back(witnessed(row, machine, configuration));
    }
  }
  return {{"loop_checks", loop_checks(machine)},
          {"witnessed", std::move(rows)},
          {"unloading", unloading(machine)},
          {"scan_s", seconds(machine.settings.scan.period.value)},
          {"contactor_s", seconds(machine.settings.timing.contactor_response.value)}};
}

Json alarms_section(const machine::Machine& machine) {
  const controller::Configuration configuration = controller::configure(machine.settings);
  Json alarms = Json::array();
  for (const logic::Row& row : logic::matrix) {
    if (row.kind != logic::Kind::trip || !can_occur(row, configuration, machine)) continue;
    const CauseText& text = text_of(row.cause);
    alarms.push_back({{"cause", row.key},
                      {"tag", machine::tags_of_cause(row.key, machine)},
                      {"text", row.text},
                      {"consequence", text.consequence},
                      {"response", text.response},
                      {"off", names_of(row.withholds)}});
  }
  return alarms;
}

}  // namespace ovenproof::evidence
