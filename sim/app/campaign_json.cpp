#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/app/campaign_report.hpp"
#include "sim/app/campaign_safety.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/sign_off_report.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::app {
namespace {

using Json = nlohmann::ordered_json;

Json result_json(const CampaignView& view, const campaign::Result& result) {
  const campaign::Injection& injection = view.plan.injections[result.number];
  const campaign::Part first = campaign::first_of(view.plan, injection);
  Json json{{"number", result.number},
            {"mode", first.mode.id},
            {"onset", campaign::name(first.realisation.onset)},
            {"instant", first.instant.id},
            {"at_ms", first.instant.ms}};
  if (injection.second) {
    const campaign::Part second = campaign::second_of(view.plan, injection);
    json["then"] = {{"mode", second.mode.id},
                    {"onset", campaign::name(second.realisation.onset)},
                    {"instant", second.instant.id},
                    {"at_ms", second.instant.ms}};
  }
  json["outcome"] = campaign::name(result.outcome);
  json["hazards"] = Json::array();
  for (const campaign::HazardHit& hit : result.hazards) {
    json["hazards"].push_back({{"id", hazards::default_hazards()[hit.hazard].id},
                               {"first_ms", hit.first_ms},
                               {"lasted_ms", hit.lasted_ms},
                               {"beyond", hit.beyond},
                               {"unit", hit.unit}});
  }
  json["detection"] = Json();
  if (result.detection) {
    const campaign::Detection& d = *result.detection;
    json["detection"] = {{"trip", d.trip},
                         {"first_out", d.trip ? Json(logic::row_of(d.first_out).key) : Json()},
                         {"first_out_right", d.first_out_right},
                         {"reaction_ms", d.reaction_ms}};
  }
  json["decided"] = campaign::name(result.decided);
  json["decided_after_ms"] = result.decided_after_ms;
  json["scans"] = result.scans;
  json["met_at"] = result.met_at;
  return json;
}

Json mode_json(const campaign::ModeSummary& summary, const campaign::Mode& mode) {
  Json json{{"id", mode.id},
            {"component", mode.component},
            {"kind", campaign::name(mode.kind)},
            {"what", mode.what},
            {"source", mode.source},
            {"excluded", mode.excluded ? Json(mode.exclusion_reason) : Json()},
            {"accepted", mode.accepted_reason.empty() ? Json() : Json(mode.accepted_reason)},
            {"tried", summary.injections > 0},
            {"injections", summary.injections}};
  for (std::size_t i = 0; i < summary.outcomes.size(); ++i) {
    json["outcomes"][std::string(campaign::outcome_names[i])] = summary.outcomes[i];
  }
  json["worst"] = summary.worst ? Json(campaign::name(summary.worst->outcome)) : Json();
  json["worst_number"] = summary.worst ? Json(summary.worst->number) : Json();
  json["wrong_first_outs"] = summary.wrong_first_outs;
  json["slowest_reaction_ms"] =
      summary.slowest_reaction_ms ? Json(*summary.slowest_reaction_ms) : Json();
  return json;
}

}  // namespace

std::string campaign_json(const CampaignView& view) {
  Json json{{"machine", view.machine.name},
            {"holds", campaign_accepted(view)},
            {"sign_off", sign_off_json(view.machine)},
            {"caution", caution},
            {"singles", view.plan.singles},
            {"pairs", view.plan.injections.size() - view.plan.singles}};
  for (const campaign::ModeSummary& each : campaign::summarize(view.plan, view.results)) {
    json["modes"].push_back(mode_json(each, view.plan.modes[each.mode]));
  }
  json["safety_functions"] =
      safety_json(campaign::safety_figures(view.machine, view.plan, view.results));
  json["results"] = Json::array();
  for (const campaign::Result& each : view.results)
    json["results"].push_back(result_json(view, each));
  return json.dump(2) + "\n";
}

}  // namespace ovenproof::app
