#include <algorithm>

#include <nlohmann/json.hpp>

#include "sim/evidence/sections.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/hazards/requirements.hpp"

namespace ovenproof::evidence {
namespace {

/// What the cases did on one hazard, by its place in the list.
Json in_cases(const ScenarioFinding& all, std::size_t hazard) {
  std::size_t judged = 0;
  Json came_about = Json::array();
  Json waived = Json::array();
  for (std::size_t i = 0; i < all.results.size(); ++i) {
    if (hazard >= all.results[i].hazards.size()) continue;
    const scenario::JudgedHazard& each = all.results[i].hazards[hazard];
    ++judged;
    if (each.verdict.avoided) continue;
    (each.waived.empty() ? came_about : waived).push_back(all.items[i].name());
  }
  return {{"judged", judged}, {"came_about", std::move(came_about)}, {"waived", std::move(waived)}};
}

bool covers(const std::vector<std::string>& ids, const std::string& id) {
  return std::find(ids.begin(), ids.end(), id) != ids.end();
}

/// How many cases carry the id, and how many of these passed.
Json carried(const ScenarioFinding& all, const std::string& id) {
  std::size_t count = 0;
  std::size_t passed = 0;
  for (std::size_t i = 0; i < all.results.size(); ++i) {
    const auto* one = std::get_if<scenario::Case>(&all.items[i].what);
    if (one == nullptr) continue;
    const bool carries =
        covers(one->covers, id) || std::any_of(one->expectations.begin(), one->expectations.end(),
                                               [&id](const scenario::Expectation& expectation) {
                                                 return covers(expectation.covers, id);
                                               });
    if (!carries) continue;
    ++count;
    passed += all.results[i].passed() ? 1 : 0;
  }
  return {{"cases", count}, {"passed", passed}};
}

/// How many injections brought the hazard about, and by which single modes.
Json in_campaign(const CampaignFinding& finding, std::size_t hazard) {
  std::size_t singles = 0;
  std::size_t pairs = 0;
  Json modes = Json::array();
  for (const campaign::Result& result : finding.results) {
    const bool hit = std::any_of(result.hazards.begin(), result.hazards.end(),
                                 [hazard](const auto& each) { return each.hazard == hazard; });
    if (!hit) continue;
    const campaign::Injection& injection = finding.plan.injections[result.number];
    if (injection.second) {
      ++pairs;
      continue;
    }
    ++singles;
    const std::string& id = finding.plan.modes[injection.mode].id;
    if (std::find(modes.begin(), modes.end(), id) == modes.end()) modes.push_back(id);
  }
  return {{"singles", singles}, {"pairs", pairs}, {"modes", std::move(modes)}};
}

/// Requirements that a text names.
std::vector<std::string> named_in(const std::string& text) {
  std::vector<std::string> ids;
  for (const hazards::Requirement& each : hazards::requirements()) {
    // R-GATE is not named by R-GATE-RESTART.
    bool whole = false;
    for (std::size_t at = text.find(each.id); at != std::string::npos && !whole;
         at = text.find(each.id, at + 1)) {
      const std::size_t after = at + each.id.size();
      whole = after >= text.size() || text[after] != '-';
    }
    if (whole) ids.push_back(each.id);
  }
  return ids;
}

}  // namespace

Json hazards_section(const Findings& findings) {
  Json all = Json::array();
  const std::vector<hazards::Hazard>& list = hazards::default_hazards();
  for (std::size_t i = 0; i < list.size(); ++i) {
    const hazards::Hazard& hazard = list[i];
    Json one{{"id", hazard.id},
             {"title", hazard.title},
             {"consequence", hazard.consequence},
             {"brought_about_by", hazard.brought_about_by},
             {"against", hazard.against},
             {"requirements", named_in(hazard.against)},
             {"property", hazard.property()}};
    if (findings.cycle) {
      for (const hazards::HazardVerdict& verdict : findings.cycle->result.hazards) {
        if (verdict.id != hazard.id) continue;
        one["cycle"] = {{"avoided", verdict.avoided},
                        {"waived", findings.cycle->result.waived(verdict)},
                        {"margin", verdict.margin}};
      }
    }
    if (findings.scenarios) {
      one["scenarios"] = in_cases(*findings.scenarios, i);
      one["carried"] = carried(*findings.scenarios, hazard.id);
    }
    if (findings.campaign) one["campaign"] = in_campaign(*findings.campaign, i);
    all.push_back(std::move(one));
  }
  return all;
}

Json requirements_section(const Findings& findings) {
  Json all = Json::array();
  for (const hazards::Requirement& requirement : hazards::requirements()) {
    Json one{{"id", requirement.id}, {"text", requirement.text}};
    one["proofs"] = Json::array();
    if (findings.proof) {
      for (const prove::Claim& claim : findings.proof->proof.claims) {
        if (claim.interlock.covers == requirement.id) one["proofs"].push_back(claim.interlock.id);
      }
    }
    if (findings.scenarios) one["carried"] = carried(*findings.scenarios, requirement.id);
    all.push_back(std::move(one));
  }
  return all;
}

}  // namespace ovenproof::evidence
