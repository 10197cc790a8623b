#include <algorithm>
#include <array>

#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/campaign/summary.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/values.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::evidence {
namespace {

using campaign::Mode;
using campaign::Outcome;
using campaign::Result;

Json mode_json(const Mode& mode) {
  Json json{{"id", mode.id},
            {"component", mode.component},
            {"kind", campaign::name(mode.kind)},
            {"what", mode.what},
            {"source", mode.source},
            {"note", mode.note},
            {"excluded", mode.exclusion_reason},
            {"accepted", mode.accepted_reason}};
  json["onsets"] = Json::array();
  for (const campaign::Realisation& each : mode.realisations) {
    json["onsets"].push_back(campaign::name(each.onset));
  }
  return json;
}

Json summary_json(const campaign::ModeSummary& summary) {
  Json json{{"injections", summary.injections},
            {"outcomes", summary.outcomes},
            {"wrong_first_outs", summary.wrong_first_outs}};
  json["worst"] = summary.worst ? Json(campaign::name(summary.worst->outcome)) : Json();
  json["slowest_s"] =
      summary.slowest_reaction_ms ? Json(seconds(*summary.slowest_reaction_ms)) : Json();
  return json;
}

/// All injections, a list a column: there are thousands.
Json rows_json(const CampaignFinding& finding) {
  Json mode = Json::array(), onset = Json::array(), instant = Json::array();
  Json outcome = Json::array(), cause = Json::array(), right = Json::array();
  Json reaction = Json::array(), second = Json::array(), hazards = Json::array();
  for (std::size_t i = 0; i < finding.results.size(); ++i) {
    const Result& result = finding.results[i];
    const campaign::Injection& injection = finding.plan.injections[result.number];
    mode.push_back(injection.mode);
    onset.push_back(injection.realisation);
    instant.push_back(injection.instant);
    outcome.push_back(static_cast<int>(result.outcome));
    // -1: nobody was told; else the row of the matrix, or one past them for a message alone.
    cause.push_back(result.detection ? static_cast<int>(result.detection->first_out) : -1);
    right.push_back(result.detection && result.detection->first_out_right ? 1 : 0);
    reaction.push_back(result.detection ? Json(rounded(seconds(result.detection->reaction_ms), 4))
                                        : Json());
    if (injection.second) {
      second.push_back({i, injection.second->demand ? 1 : 0, injection.second->mode,
                        injection.second->realisation, injection.second->instant});
    }
    for (const campaign::HazardHit& hit : result.hazards) {
      hazards.push_back({i, hit.hazard, seconds(hit.first_ms), seconds(hit.lasted_ms),
                         rounded(hit.beyond, 4), hit.unit});
    }
  }
  return {{"mode", std::move(mode)},           {"onset", std::move(onset)},
          {"instant", std::move(instant)},     {"outcome", std::move(outcome)},
          {"cause", std::move(cause)},         {"right", std::move(right)},
          {"reaction_s", std::move(reaction)}, {"second", std::move(second)},
          {"hazards", std::move(hazards)}};
}

}  // namespace

std::vector<std::size_t> hazardous_modes(const CampaignFinding& finding, bool accepted) {
  std::vector<std::size_t> found;
  for (const Result& result : finding.results) {
    const campaign::Injection& injection = finding.plan.injections[result.number];
    if (result.outcome != Outcome::hazardous || injection.second ||
        finding.plan.modes[injection.mode].accepted_reason.empty() == accepted) {
      continue;
    }
    found.push_back(injection.mode);
  }
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

Json campaign_section(const CampaignFinding& finding) {
  Json modes = Json::array();
  for (const Mode& mode : finding.plan.modes) modes.push_back(mode_json(mode));
  for (const campaign::ModeSummary& each : campaign::summarize(finding.plan, finding.results)) {
    modes[each.mode].update(summary_json(each));
  }
  Json demands = Json::array();
  for (const Mode& demand : finding.plan.demands) demands.push_back(mode_json(demand));
  Json instants = Json::array();
  for (const campaign::Instant& each : finding.plan.instants) {
    instants.push_back(
        {{"id", each.id}, {"s", seconds(each.ms)}, {"phase", logic::name_of(each.phase)}});
  }
  Json hazards = Json::array();
  for (const hazards::Hazard& each : hazards::default_hazards()) hazards.push_back(each.id);
  Json causes = Json::array();
  for (const logic::Row& row : logic::matrix) causes.push_back(row.key);
  return {{"singles", finding.plan.singles},
          {"pairs", finding.plan.injections.size() - finding.plan.singles},
          {"seed", finding.options.seed},
          {"outcomes", campaign::outcome_names},
          {"hazards", std::move(hazards)},
          {"causes", std::move(causes)},
          {"modes", std::move(modes)},
          {"demands", std::move(demands)},
          {"instants", std::move(instants)},
          {"rows", rows_json(finding)}};
}

}  // namespace ovenproof::evidence
