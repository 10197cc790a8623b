#include <nlohmann/json.hpp>

#include "firmware/controller/configuration.hpp"
#include "firmware/logic/matrix.hpp"
#include "sim/evidence/cause_texts.hpp"
#include "sim/evidence/reaction.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/values.hpp"
#include "sim/machine/cause_tags.hpp"

namespace ovenproof::evidence {
namespace {

struct LoopCheck {
  const char* act;
  const char* expect;
};

LoopCheck check_of(machine::Signal signal, std::string_view electrical) {
  switch (signal) {
    case machine::Signal::contact_in:
      return {
          "Operate the device both ways; then take one wire off at the device.",
          "The controller shows both; with the wire off it shows the state that does not permit."};
    case machine::Signal::coil_out:
      return {
          "Energise by the maintenance function, oven cold and supervised; then take the "
          "control voltage away.",
          "The device moves, its proof follows; without voltage it goes to its safe state."};
    case machine::Signal::analog_out:
      return {"Give 0, 50 and 100 % by the maintenance function, heater locked off.",
              "The power controller receives 4, 12 and 20 mA."};
    case machine::Signal::analog_in:
      break;
  }
  if (electrical.find("mA") != std::string_view::npos) {
    return {"Feed 4, 12 and 20 mA with a calibrator; then open the loop.",
            "The controller shows low, middle and high end of the range; open, the reading is "
            "invalid."};
  }
  return {"Feed low, middle and high end of the range with a calibrator; then open the circuit.",
          "The controller shows each value; open, the reading is invalid."};
}

Json loop_checks(const machine::Machine& m) {
  Json checks = Json::array();
  for (std::size_t i = 0; i < machine::point_count; ++i) {
    const machine::Point& point = machine::all_points()[i];
    if (!has_part(point.part, m.settings.options)) continue;
    const LoopCheck check = check_of(point.signal, point.electrical);
    checks.push_back({{"tag", m.tags[i]},
                      {"type", short_name(point.signal)},
                      {"what", point.what},
                      {"do", check.act},
                      {"expect", check.expect}});
  }
  return checks;
}

Json witnessed(const logic::Row& row, const machine::Machine& machine,
               const controller::Configuration& configuration) {
  Json json{{"cause", row.key},
            {"tag", machine::tags_of_cause(row.key, machine)},
            {"text", row.text},
            {"kind", row.kind == logic::Kind::trip ? "trip" : "inhibit"},
            {"do", text_of(row.cause).provoke},
            {"off", names_of(row.withholds)}};
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
    if (fitted(row.needs, configuration.options))
      rows.push_back(witnessed(row, machine, configuration));
  }
  return {{"loop_checks", loop_checks(machine)},
          {"witnessed", std::move(rows)},
          {"scan_s", seconds(machine.settings.scan.period.value)},
          {"contactor_s", seconds(machine.settings.timing.contactor_response.value)}};
}

Json alarms_section(const machine::Machine& machine) {
  const controller::Configuration configuration = controller::configure(machine.settings);
  Json alarms = Json::array();
  for (const logic::Row& row : logic::matrix) {
    if (row.kind != logic::Kind::trip || !fitted(row.needs, configuration.options)) continue;
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
