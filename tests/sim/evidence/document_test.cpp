#include <algorithm>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include "findings.hpp"
#include "sim/evidence/unverified.hpp"
#include "sim/scenario/oven_bank.hpp"

namespace ovenproof::evidence {
namespace {

using nlohmann::json;

bool says(const json& list, const std::string& words) {
  return std::any_of(list.begin(), list.end(), [&words](const json& one) {
    return one["text"].get<std::string>().find(words) != std::string::npos;
  });
}

TEST_CASE("what holds is said to be shown, and nothing to be refuted") {
  const json summary = made(sound_findings())["summary"];
  CHECK(summary["holds"] == true);
  CHECK(summary["refuted"].empty());
  CHECK(says(summary["shown"], "1 of 1 whole cycles completed"));
  CHECK(says(summary["shown"], "1 of 1 interlocks proved"));
  CHECK(says(summary["assumed"], "two facts exclude each other"));
  CHECK(summary["cautions"][0] == "Take care.");
  CHECK(summary["cautions"][2].get<std::string>().find(std::to_string(unverified_places) +
                                                       " places of the program") == 0);
}

TEST_CASE("a hazard of the cycle is refuted, and the document does not hold") {
  Findings findings = sound_findings();
  findings.cycle->result.hazards[2].avoided = false;
  findings.cycle->result.hazards[2].first_ms = 1000;
  CHECK(document(sound_findings(), some_making()).summary.refuted.empty());
  CHECK(document(findings, some_making()).summary.refuted.size() == 1);
  CHECK(made(findings)["summary"]["holds"] == false);
  CHECK(says(made(findings)["summary"]["refuted"], "1 hazard occurred"));
}

TEST_CASE("a cycle that was not completed is refuted, with the reason") {
  Findings findings = sound_findings();
  findings.cycle->result.cycles_completed = 0;
  findings.cycle->result.gave_up = "the oven does not start";
  const json summary = made(findings)["summary"];
  CHECK(summary["holds"] == false);
  CHECK(says(summary["refuted"], "the oven does not start"));
}

TEST_CASE("a refuted interlock is refuted by its id, and one that is open or vacuous not covered") {
  Findings findings = sound_findings();
  std::vector<prove::Claim>& claims = findings.proof->proof.claims;
  claims.resize(3, claims.front());
  claims[0].standing = prove::Standing::refuted;
  claims[1].standing = prove::Standing::vacuous;
  claims[2].standing = prove::Standing::open;
  const json summary = made(findings)["summary"];
  CHECK(says(summary["refuted"], "REQ-HEAT-01"));
  CHECK(says(summary["not_covered"], "never happens"));
  CHECK(says(summary["not_covered"], "memory ran out"));
  CHECK(says(summary["shown"], "0 of 3 interlocks"));
}

TEST_CASE("a state from which the oven does not come back is refuted") {
  Findings findings = sound_findings();
  findings.proof->proof.recovery.stuck = prove::Stuck{0, "standby", 1000, {}};
  CHECK(says(made(findings)["summary"]["refuted"], "standby"));
}

TEST_CASE("what was not done is said not to be covered, and its section is null") {
  Findings findings = sound_findings();
  findings.cycle.reset();
  findings.scenarios.reset();
  findings.proof.reset();
  const json all = made(findings);
  CHECK(all["cycle"].is_null());
  CHECK(all["scenarios"].is_null());
  CHECK(all["proof"].is_null());
  CHECK(says(all["summary"]["not_covered"], "No whole cycle"));
  CHECK(says(all["summary"]["not_covered"], "No scenarios"));
  CHECK(says(all["summary"]["not_covered"], "not proved"));
}

/// A case on that oven that passed.
ScenarioFinding one_case(const machine::Machine& machine) {
  scenario::Case one;
  one.file = "case.yaml";
  one.name = "a case";
  one.covers = {"R-RESET"};
  one.oven = scenario::make_oven(machine);
  ScenarioFinding finding;
  finding.items.push_back({one});
  finding.results.resize(1);
  return finding;
}

TEST_CASE("a case tells in which keys its oven is not the machine, and only those") {
  Findings findings = sound_findings();
  findings.scenarios = one_case(findings.machine);
  CHECK(made(findings)["scenarios"]["groups"][0]["unlike_machine"].empty());
  machine::Machine other = findings.machine;
  other.settings.purge.gate.value = 55.0F;
  findings.scenarios = one_case(other);
  const json unlike = made(findings)["scenarios"]["groups"][0]["unlike_machine"];
  REQUIRE(unlike.size() == 1);
  CHECK(unlike[0] == "purge.gate 55 ppm");
}

TEST_CASE("a case counts for the requirement that it carries, and for the verdict") {
  Findings findings = sound_findings();
  findings.scenarios = one_case(findings.machine);
  json all = made(findings);
  for (const json& each : all["requirements"]) {
    CHECK(each["carried"]["cases"] == (each["id"] == "R-RESET" ? 1 : 0));
  }
  CHECK(all["summary"]["holds"] == true);
  findings.scenarios->results[0].problems.emplace_back("the phase was not found");
  all = made(findings);
  CHECK(says(all["summary"]["refuted"], "1 scenario case failed"));
  CHECK(all["scenarios"]["groups"][0]["cases"][0]["failure"] ==
        "not played: the phase was not found");
}

/// A campaign of one failure mode, injected once, that ends so.
CampaignFinding one_injection(campaign::Outcome outcome) {
  CampaignFinding finding;
  campaign::Mode mode;
  mode.id = "Q1.welded";
  mode.what = "main contacts do not open";
  mode.realisations.resize(1);
  finding.plan.modes.push_back(mode);
  finding.plan.instants.resize(1);
  finding.plan.injections.resize(1);
  finding.plan.singles = 1;
  finding.results.resize(1);
  finding.results[0].outcome = outcome;
  if (outcome == campaign::Outcome::hazardous) {
    finding.results[0].hazards.push_back({2, 1000, 500, 3.0, "ppm"});
  }
  return finding;
}

TEST_CASE("a single failure that ends hazardous is refuted, unless the machine file accepts it") {
  Findings findings = sound_findings();
  findings.campaign = one_injection(campaign::Outcome::hazardous);
  json all = made(findings);
  CHECK(says(all["summary"]["refuted"], "Q1.welded"));
  CHECK(all["hazards"][2]["campaign"]["modes"][0] == "Q1.welded");
  CHECK(all["hazards"][1]["campaign"]["singles"] == 0);
  CHECK(all["campaign"]["rows"]["hazards"][0][1] == 2);
  findings.campaign->plan.modes[0].accepted_reason = "the risk assessment says so";
  all = made(findings);
  CHECK(all["summary"]["refuted"].empty());
  CHECK(all["campaign"]["modes"][0]["accepted"] == "the risk assessment says so");
  // The first screen says how many, by whom and why.
  CHECK(all["summary"]["verdict"] ==
        "HOLDS with 1 accepted hazard: nothing else that was tried failed");
  CHECK(says(all["summary"]["accepted"], "1 single failure may end hazardous"));
  CHECK(says(all["summary"]["accepted"], findings.machine.sign_off.by));
  CHECK(says(all["summary"]["accepted"], findings.machine.sign_off.date));
  CHECK(says(all["summary"]["accepted"], "Q1.welded: the risk assessment says so."));
  CHECK(says(all["summary"]["shown"], "0 of 1 failure modes end without a hazard"));
}

TEST_CASE("what nobody signed for on this machine is said on the first screen") {
  Findings findings = sound_findings();
  findings.campaign = one_injection(campaign::Outcome::no_effect);
  REQUIRE(needs_sign_off(findings.machine));
  json all = made(findings);
  CHECK_FALSE(says(all["summary"]["not_covered"], "nobody signed"));
  CHECK(all["summary"]["accepted"].empty());
  CHECK(all["summary"]["verdict"] == "HOLDS: nothing that was tried failed");
  findings.machine.name = "A copy";
  all = made(findings);
  CHECK(says(all["summary"]["not_covered"], "nobody signed for them on this machine"));
}

TEST_CASE("a pair of failures that ends hazardous is shown and refutes nothing") {
  Findings findings = sound_findings();
  findings.campaign = one_injection(campaign::Outcome::hazardous);
  findings.campaign->plan.injections[0].second = campaign::Injection::Second{};
  findings.campaign->plan.singles = 0;
  const json all = made(findings);
  CHECK(all["summary"]["refuted"].empty());
  CHECK(all["hazards"][2]["campaign"]["pairs"] == 1);
}

TEST_CASE("the first screen says in how many cases a waived hazard occurred") {
  Findings findings = sound_findings();
  findings.scenarios = one_case(findings.machine);
  scenario::JudgedHazard hazard;
  hazard.verdict.avoided = true;
  hazard.waived = "a reason";
  findings.scenarios->results[0].hazards = {hazard};
  CHECK_FALSE(says(made(findings)["summary"]["not_covered"], "waives"));
  findings.scenarios->results[0].hazards[0].verdict.avoided = false;
  CHECK(says(made(findings)["summary"]["not_covered"],
             "In 1 scenario case a hazard occurred that the case causes on purpose"));
  findings.scenarios->results[0].hazards[0].waived.clear();
  CHECK_FALSE(says(made(findings)["summary"]["not_covered"], "waives"));
}

TEST_CASE("failures without any message are said not to be covered") {
  Findings findings = sound_findings();
  findings.campaign = one_injection(campaign::Outcome::unnoticed);
  CHECK(says(made(findings)["summary"]["not_covered"], "without any message"));
  findings.campaign = one_injection(campaign::Outcome::noticed);
  CHECK_FALSE(says(made(findings)["summary"]["not_covered"], "without any message"));
}

TEST_CASE(
    "a figure on which formula and simulation differ is a remark, a cycle that fails is a "
    "finding") {
  Findings findings = sound_findings();
  sizing::Sizing sizing = sizing::size(findings.machine, sizing::formulas_alone());
  REQUIRE_FALSE(sizing.figures.empty());
  sizing::Figure& figure = sizing.figures.front();
  figure.predicted = 10.0;
  figure.simulated = 20.0;
  figure.bound = {0.1, 0.0};
  findings.sizing = sizing;
  figure.remark = "they differ";
  findings.sizing = sizing;
  const Json differs = made(findings);
  CHECK(differs["summary"]["refuted"].empty());
  CHECK(differs["summary"]["holds"] == true);
  CHECK(says(differs["summary"]["shown"], "Remark: " + figure.what + ": they differ"));
  CHECK(differs["sizing"]["figures"][0]["remark"] == "they differ");
  CHECK(differs["sizing"]["figures"][0]["verdict"] == "differs");
  figure.simulated = 10.5;
  figure.remark.clear();
  findings.sizing = sizing;
  CHECK(made(findings)["summary"]["refuted"].empty());
  CHECK(says(made(findings)["summary"]["shown"], "1 of 1 figures"));
  CHECK_FALSE(says(made(findings)["summary"]["shown"], "Remark"));
  findings.sizing->cycle_problem = "the oven tripped";
  CHECK(says(made(findings)["summary"]["refuted"], "the oven tripped"));
}

TEST_CASE("the document is one line a section and the same for the same findings") {
  const std::string text = document(sound_findings(), some_making()).text;
  CHECK(text == document(sound_findings(), some_making()).text);
  const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
  CHECK(lines == json::parse(text).size() + 2);
}

TEST_CASE("every requirement that stands against a hazard is on the list of requirements") {
  const json all = made(sound_findings());
  std::set<std::string> known;
  for (const json& each : all["requirements"]) known.insert(each["id"].get<std::string>());
  for (const json& hazard : all["hazards"]) {
    CAPTURE(hazard["id"].get<std::string>());
    CHECK_FALSE(hazard["requirements"].empty());
    for (const json& id : hazard["requirements"]) CHECK(known.contains(id.get<std::string>()));
  }
}

TEST_CASE("a requirement is not taken for one whose id begins the same") {
  const json all = made(sound_findings());
  for (const json& hazard : all["hazards"]) {
    const auto text = hazard["against"].get<std::string>() + ",";
    for (const json& id : hazard["requirements"]) {
      const auto whole = id.get<std::string>();
      CAPTURE(text);
      CAPTURE(whole);
      CHECK((text.find(whole + ",") != std::string::npos ||
             text.find(whole + ";") != std::string::npos ||
             text.find(whole + " ") != std::string::npos));
    }
  }
}

TEST_CASE("the checklist has every terminal and every row of the matrix that the machine has") {
  const json all = made(sound_findings());
  CHECK(all["commissioning"]["loop_checks"].size() == all["machine"]["io"].size());
  const auto fitted = std::count_if(all["matrix"]["rows"].begin(), all["matrix"]["rows"].end(),
                                    [](const json& row) { return row["fitted"] == true; });
  CHECK(all["commissioning"]["witnessed"].size() == static_cast<std::size_t>(fitted));
  CHECK(all["alarms"].size() < static_cast<std::size_t>(fitted));
}

}  // namespace
}  // namespace ovenproof::evidence
