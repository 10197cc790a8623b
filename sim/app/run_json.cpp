#include <nlohmann/json.hpp>

#include "sim/app/cautions.hpp"
#include "sim/app/run_report.hpp"

namespace ovenproof::app {
namespace {

using Json = nlohmann::ordered_json;

Json figures_json(const cycle::Figures& f) {
  return {{"complete", f.complete},
          {"start_s", f.start_s},
          {"purge_s", f.purge_s},
          {"oxygen_at_gate_ppm", f.oxygen_at_gate_ppm},
          {"heat_up_s", f.heat_up_s},
          {"soak_s", f.soak_s},
          {"soak_above_target_K", f.soak_high_K},
          {"soak_below_target_K", f.soak_low_K},
          {"peak_degC", f.peak_degC},
          {"oxygen_in_soak_ppm", f.oxygen_in_soak_ppm},
          {"cool_down_s", f.cool_down_s},
          {"gas_L", f.gas_L},
          {"energy_kWh", f.energy_kWh},
          {"lowest_room_oxygen", f.lowest_room_oxygen},
          {"repurges", f.repurges},
          {"end_s", f.end_s}};
}

Json hazard_json(const hazards::HazardVerdict& each) {
  Json json{{"id", each.id},
            {"title", each.title},
            {"property", each.property},
            {"avoided", each.avoided},
            {"margin", each.margin}};
  json["first_s"] = each.first_ms ? Json(static_cast<double>(*each.first_ms) / 1000.0) : Json();
  return json;
}

}  // namespace

std::string run_json(const machine::Machine& machine, const cycle::RunResult& result) {
  Json json{{"machine", machine.name},
            {"simulated_s", result.simulated_s},
            {"cycles", result.cycles_completed},
            {"cycles_planned", result.cycles_planned},
            {"all_holds", result.all_holds()}};
  json["stopped_early"] = result.gave_up.empty() ? Json() : Json(result.gave_up);
  json["started_by_itself"] = result.started_by_itself ? Json(*result.started_by_itself) : Json();
  Json hazards = Json::array();
  Json judged = Json::array();
  for (const hazards::HazardVerdict& each : result.hazards) {
    judged.push_back(hazard_json(each));
    if (!each.avoided) hazards.push_back(each.id);
  }
  json["hazards"] = std::move(hazards);
  json["hazards_judged"] = std::move(judged);
  json["figures"] = Json::array();
  for (const cycle::Figures& each : result.cycles) json["figures"].push_back(figures_json(each));
  json["timeline"] = Json::array();
  for (const cycle::Event& event : result.events) {
    json["timeline"].push_back({{"s", static_cast<double>(event.ms) / 1000.0},
                                {"kind", cycle::name_of(event.kind)},
                                {"text", event.text}});
  }
  json["caution"] = caution;
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace ovenproof::app
