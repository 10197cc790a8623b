#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/run_report.hpp"
#include "sim/machine/cause_tags.hpp"

namespace ovenproof::app {
namespace {

using Json = nlohmann::ordered_json;

/// null for what a cycle broken off never did.
Json figure_json(const cycle::Figure& figure) { return figure ? Json(*figure) : Json(); }

Json figures_json(const cycle::Figures& f) {
  return {{"complete", f.complete},
          {"start_s", f.start_s},
          {"purge_s", figure_json(f.purge_s)},
          {"oxygen_at_gate_ppm", figure_json(f.oxygen_at_gate_ppm)},
          {"heat_up_s", figure_json(f.heat_up_s)},
          {"soak_s", figure_json(f.soak_s)},
          {"soak_above_target_K", figure_json(f.soak_high_K)},
          {"soak_below_target_K", figure_json(f.soak_low_K)},
          {"peak_degC", f.peak_degC},
          {"oxygen_in_soak_ppm", figure_json(f.oxygen_in_soak_ppm)},
          {"cool_down_s", figure_json(f.cool_down_s)},
          {"gas_L", f.gas_L},
          {"energy_kWh", f.energy_kWh},
          {"lowest_room_oxygen", f.lowest_room_oxygen},
          {"repurges", f.repurges},
          {"low_oxygen_at_door_s", figure_json(f.low_oxygen_s)},
          {"oxygen_reached_into", figure_json(f.reached_oxygen)},
          {"handled_degC", figure_json(f.handled_degC)},
          {"end_s", f.end_s}};
}

Json hazard_json(const hazards::HazardVerdict& each, const cycle::RunResult& result) {
  Json json{{"id", each.id},
            {"title", each.title},
            {"property", each.property},
            {"avoided", each.avoided},
            {"margin", each.margin}};
  json["first_s"] = each.first_ms ? Json(static_cast<double>(*each.first_ms) / 1000.0) : Json();
  json["waived"] = result.waived(each) ? Json(std::string(result.waiver->reason)) : Json();
  return json;
}

Json trip_json(const cycle::Trip& trip, const machine::Machine& machine) {
  const logic::Row& row = logic::row_of(trip.cause);
  return {{"s", static_cast<double>(trip.ms) / 1000.0},
          {"cause", row.key},
          {"tag", machine::tags_of_cause(row.key, machine)},
          {"text", row.text}};
}

}  // namespace

std::string run_json(const machine::Machine& machine, const cycle::RunResult& result) {
  Json json{{"machine", machine.name},
            {"simulated_s", result.simulated_s},
            {"cycles", result.cycles_completed},
            {"attendant", cycle::info(result.attendant).name},
            {"cycles_planned", result.cycles_planned},
            {"all_holds", result.all_holds()}};
  json["stopped_early"] = result.gave_up.empty() ? Json() : Json(result.gave_up);
  json["started_by_itself"] = result.started_by_itself ? Json(*result.started_by_itself) : Json();
  json["first_trip"] = result.first_trip ? trip_json(*result.first_trip, machine) : Json();
  Json hazards = Json::array();
  Json waived = Json::array();
  Json judged = Json::array();
  for (const hazards::HazardVerdict& each : result.hazards) {
    judged.push_back(hazard_json(each, result));
    if (!each.avoided) (result.waived(each) ? waived : hazards).push_back(each.id);
  }
  json["hazards"] = std::move(hazards);
  json["hazards_waived"] = std::move(waived);
  json["hazards_judged"] = std::move(judged);
  json["figures"] = Json::array();
  for (const cycle::Figures& each : result.cycles) json["figures"].push_back(figures_json(each));
  json["timeline"] = Json::array();
  for (const cycle::Event& event : result.events) {
    json["timeline"].push_back({{"s", static_cast<double>(event.ms) / 1000.0},
                                {"kind", cycle::name_of(event.kind)},
                                {"text", machine::with_tags(event.text, event.cause, machine)}});
  }
  json["caution"] = caution;
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace ovenproof::app
