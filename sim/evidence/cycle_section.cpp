#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/values.hpp"
#include "sim/machine/cause_tags.hpp"

namespace ovenproof::evidence {
namespace {

Json figure(const cycle::Figure& value) { return value ? Json(*value) : Json(); }

Json figures(const cycle::Figures& f) {
  return {{"complete", f.complete},
          {"start_s", f.start_s},
          {"end_s", f.end_s},
          {"purge_s", figure(f.purge_s)},
          {"oxygen_at_gate_ppm", figure(f.oxygen_at_gate_ppm)},
          {"heat_up_s", figure(f.heat_up_s)},
          {"soak_s", figure(f.soak_s)},
          {"soak_above_target_K", figure(f.soak_high_K)},
          {"soak_below_target_K", figure(f.soak_low_K)},
          {"peak_degC", f.peak_degC},
          {"oxygen_in_soak_ppm", figure(f.oxygen_in_soak_ppm)},
          {"cool_down_s", figure(f.cool_down_s)},
          {"gas_L", f.gas_L},
          {"energy_kWh", f.energy_kWh},
          {"lowest_room_oxygen", f.lowest_room_oxygen},
          {"repurges", f.repurges},
          {"low_oxygen_at_door_s", figure(f.low_oxygen_s)},
          {"oxygen_reached_into", figure(f.reached_oxygen)},
          {"handled_degC", figure(f.handled_degC)}};
}

Json hazard(const hazards::HazardVerdict& each, const cycle::RunResult& result) {
  Json json{{"id", each.id}, {"avoided", each.avoided}, {"margin", each.margin}};
  json["first_s"] = each.first_ms ? Json(seconds(*each.first_ms)) : Json();
  json["waived"] = result.waived(each) ? Json(std::string(result.waiver->reason)) : Json();
  return json;
}

/// Times and values apart, so that they take little room.
Json trends_json(const Trends& all) {
  Json ms = Json::array();
  for (const std::uint64_t each : all.ms) ms.push_back(seconds(each));
  Json trends = Json::array();
  for (const Trend& trend : all.trends) {
    Json values = Json::array();
    for (const double value : trend.values) values.push_back(rounded(value, 4));
    trends.push_back({{"probe", trend.probe},
                      {"unit", trend.unit},
                      {"what", trend.description},
                      {"values", std::move(values)}});
  }
  Json bands = Json::array();
  for (const Band& band : all.bands) {
    Json at = Json::array();
    Json values = Json::array();
    for (const Change& change : band.changes) {
      at.push_back(seconds(change.ms));
      values.push_back(change.value);
    }
    bands.push_back({{"probe", band.probe},
                     {"what", band.description},
                     {"labels", band.labels},
                     {"s", std::move(at)},
                     {"values", std::move(values)}});
  }
  return {{"every_s", seconds(all.every_ms)},
          {"s", std::move(ms)},
          {"trends", std::move(trends)},
          {"bands", std::move(bands)}};
}

}  // namespace

Json cycle_section(const machine::Machine& machine, const CycleFinding& finding) {
  const cycle::RunResult& result = finding.result;
  Json json{{"simulated_s", result.simulated_s},
            {"planned", result.cycles_planned},
            {"completed", result.cycles_completed},
            {"all_holds", result.all_holds()},
            {"stopped_early", result.gave_up}};
  if (result.first_trip) {
    json["first_trip"] = {{"s", seconds(result.first_trip->ms)},
                          {"cause", logic::row_of(result.first_trip->cause).key}};
  }
  json["limits"] = {{"gate_ppm", machine.settings.purge.gate.value},
                    {"hold_ppm", machine.settings.purge.hold_limit.value},
                    {"high_degC", machine.settings.temperature.high_limit.value}};
  json["figures"] = Json::array();
  for (const cycle::Figures& each : result.cycles) json["figures"].push_back(figures(each));
  json["hazards"] = Json::array();
  for (const hazards::HazardVerdict& each : result.hazards) {
    json["hazards"].push_back(hazard(each, result));
  }
  json["events"] = Json::array();
  for (const cycle::Event& event : result.events) {
    json["events"].push_back({seconds(event.ms), cycle::name_of(event.kind),
                              machine::with_tags(event.text, event.cause, machine)});
  }
  json["trends"] = trends_json(finding.trends);
  return json;
}

}  // namespace ovenproof::evidence
