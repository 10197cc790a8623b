#include <algorithm>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "sim/evidence/sections.hpp"
#include "sim/evidence/unverified.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::evidence {
namespace {

/// "1 case", "2 cases"
std::string counted(std::size_t count, const std::string& what) {
  return fmt::format("{} {}{}", count, what, count == 1 ? "" : "s");
}

/// Words of the first screen, each with the place on the page that shows it.
class Words {
 public:
  void add(std::string text, const char* link) {
    all_.push_back({{"text", std::move(text)}, {"link", link}});
  }
  Json take() { return std::move(all_); }

 private:
  Json all_ = Json::array();
};

struct Found {
  Words shown;
  Words refuted;
  Words accepted;
  std::size_t accepted_hazards = 0;  ///< single failures that end hazardous
  Words not_covered;
  Words assumed;
};

void say_cycle(const Findings& findings, Found& s) {
  if (!findings.cycle) {
    s.not_covered.add("No whole cycle was run.", "#cycle");
    return;
  }
  const cycle::RunResult& run = findings.cycle->result;
  const std::size_t hazards = run.hazards.size();
  const std::string how =
      fmt::format("{} of {} whole cycles completed without a fault injected ({:.2f} h simulated)",
                  run.cycles_completed, run.cycles_planned, run.simulated_s / 3600.0);
  if (run.all_holds()) {
    s.shown.add(fmt::format("{}; none of {} hazards occurred.", how, hazards), "#cycle");
  } else {
    s.refuted.add(fmt::format("{}; {} occurred{}{}.", how, counted(run.hazards_found(), "hazard"),
                              run.gave_up.empty() ? "" : "; stopped early: ", run.gave_up),
                  "#cycle");
  }
}

void say_scenarios(const Findings& findings, Found& s) {
  if (!findings.scenarios) {
    s.not_covered.add("No scenarios were played: no fault was injected on purpose.", "#scenarios");
    return;
  }
  const ScenarioFinding& all = *findings.scenarios;
  const auto passed = static_cast<std::size_t>(
      std::count_if(all.results.begin(), all.results.end(),
                    [](const scenario::CaseResult& each) { return each.passed(); }));
  if (passed != 0) {
    s.shown.add(fmt::format("{} of {} passed, each judged on all hazards and on what it expects.",
                            passed, counted(all.results.size(), "scenario case")),
                "#scenarios");
  }
  if (passed != all.results.size()) {
    s.refuted.add(fmt::format("{} failed.", counted(all.results.size() - passed, "scenario case")),
                  "#scenarios");
  }
  const auto waived = static_cast<std::size_t>(
      std::count_if(all.results.begin(), all.results.end(), [](const scenario::CaseResult& each) {
        return std::any_of(each.hazards.begin(), each.hazards.end(),
                           [](const scenario::JudgedHazard& hazard) {
                             return !hazard.verdict.avoided && !hazard.waived.empty();
                           });
      }));
  if (waived != 0) {
    s.not_covered.add(fmt::format("In {} a hazard occurred that the case causes on purpose and "
                                  "waives, with its reason.",
                                  counted(waived, "scenario case")),
                      "#hazards");
  }
  if (all.results.empty()) {
    s.not_covered.add("None of the scenarios given is of this machine.", "#scenarios");
  }
}

void say_proof(const Findings& findings, Found& s) {
  if (!findings.proof) {
    s.not_covered.add("The interlocks were not proved: the logic was not explored.", "#proofs");
    return;
  }
  const prove::Proof& proof = findings.proof->proof;
  std::size_t proved = 0;
  for (const prove::Claim& claim : proof.claims) {
    switch (claim.standing) {
      case prove::Standing::proved:
        ++proved;
        break;
      case prove::Standing::refuted:
        s.refuted.add(fmt::format("{}: {}: refuted.", claim.interlock.id, claim.interlock.title),
                      "#proofs");
        break;
      default:
        s.not_covered.add(fmt::format("{}: {}: {}.", claim.interlock.id, claim.interlock.title,
                                      claim.standing == prove::Standing::vacuous
                                          ? "what it speaks of never happens, so nothing is shown"
                                          : "not decided, memory ran out first"),
                          "#proofs");
    }
  }
  s.shown.add(fmt::format("{} of {} interlocks proved of the logic, for every order of "
                          "events within the assumptions ({} states of the logic, {} scans).",
                          proved, proof.claims.size(), proof.states, proof.scans),
              "#proofs");
  if (proof.recovery.stuck) {
    s.refuted.add(fmt::format("The logic can be brought where it does not come to {} again.",
                              proof.recovery.stuck->wanted),
                  "#proofs");
  } else if (proof.complete) {
    s.shown.add("From each of these states a healthy oven reaches rest again.", "#proofs");
  }
}

/// What the machine file accepts counts only if a person signed for it on this machine.
void say_sign_off(const machine::Machine& machine, Found& s) {
  const auto fault = sign_off_fault(machine);
  if (!fault) return;
  s.not_covered.add(fmt::format("{} accepted and {} excluded failure modes and what is stated of "
                                "{} do not count: nobody signed for them on this machine ({}: "
                                "expected {}, found {}).",
                                machine.campaign.accepted.size(), machine.campaign.excluded.size(),
                                counted(machine.safety.functions.size(), "safety function"),
                                fault->key, fault->expected, fault->found),
                    "#failures");
}

/// Hazards that people accept, by the reason why.
void say_accepted(const Findings& findings, const std::vector<std::size_t>& modes, Found& s) {
  s.accepted_hazards = modes.size();
  if (modes.empty()) return;
  const machine::SignOff& signature = findings.machine.sign_off;
  s.accepted.add(fmt::format("{} may end hazardous. Accepted, each with a reason, by {}, {}.",
                             counted(modes.size(), "single failure"), signature.by, signature.date),
                 "#failures");
  std::vector<machine::ModeRemark> remarks;
  for (const std::size_t each : modes) {
    const campaign::Mode& mode = findings.campaign->plan.modes[each];
    remarks.push_back({mode.id, mode.accepted_reason, {}});
  }
  for (const machine::SharedReason& each : machine::by_reason(remarks)) {
    s.accepted.add(fmt::format("{}: {}.", fmt::join(each.modes, ", "), each.reason), "#failures");
  }
}

void say_campaign(const Findings& findings, Found& s) {
  say_sign_off(findings.machine, s);
  if (!findings.campaign) {
    const machine::Machine& m = findings.machine;
    const bool accepts = !m.campaign.accepted.empty() && !sign_off_fault(m);
    s.not_covered.add(
        fmt::format("Failure modes were not injected one by one{}.",
                    accepts ? fmt::format("; {} accepted, though hazardous, by {}, {}",
                                          counted(m.campaign.accepted.size(), "mode"),
                                          m.sign_off.by, m.sign_off.date)
                            : ""),
        "#failures");
    return;
  }
  const CampaignFinding& finding = *findings.campaign;
  const std::vector<std::size_t> hazardous = hazardous_modes(finding, false);
  const std::vector<std::size_t> accepted = hazardous_modes(finding, true);
  say_accepted(findings, accepted, s);
  std::size_t excluded = 0;
  std::size_t unnoticed = 0;
  for (const campaign::Mode& mode : finding.plan.modes) excluded += mode.excluded ? 1 : 0;
  for (const campaign::Result& each : finding.results) {
    unnoticed += each.outcome == campaign::Outcome::unnoticed ? 1 : 0;
  }
  for (const std::size_t mode : hazardous) {
    s.refuted.add(fmt::format("Single failure {} ({}) ends hazardous.", finding.plan.modes[mode].id,
                              finding.plan.modes[mode].what),
                  "#failures");
  }
  const std::size_t pairs = finding.plan.injections.size() - finding.plan.singles;
  s.shown.add(fmt::format("{} of {} failure modes end without a hazard, over {}{}.",
                          finding.plan.modes.size() - excluded - hazardous.size() - accepted.size(),
                          finding.plan.modes.size() - excluded,
                          counted(finding.results.size(), "injection"),
                          pairs == 0 ? "" : fmt::format(", {} of them of two failures", pairs)),
              "#failures");
  if (excluded != 0) {
    s.not_covered.add(
        fmt::format("{} excluded, each with its reason.", counted(excluded, "failure mode")),
        "#failures");
  }
  if (unnoticed != 0) {
    s.not_covered.add(fmt::format("{} left a failure without any message: only a test or an "
                                  "inspection finds it.",
                                  counted(unnoticed, "injection")),
                      "#failures");
  }
}

void say_sizing(const Findings& findings, Found& s) {
  if (!findings.sizing) return;
  std::size_t compared = 0;
  std::size_t within = 0;
  std::vector<std::string> remarks;
  for (const sizing::Figure& figure : findings.sizing->figures) {
    const sizing::Verdict verdict = figure.verdict();
    compared += verdict == sizing::Verdict::not_compared ? 0 : 1;
    within += verdict == sizing::Verdict::within ? 1 : 0;
    if (verdict == sizing::Verdict::differs) {
      remarks.push_back(fmt::format("{}: {}", figure.what, figure.remark));
    }
  }
  if (compared == 0) return;
  s.shown.add(
      fmt::format("{} of {} figures of the oven agree between published formulas and "
                  "simulation within their stated bounds{}.",
                  within, compared, within == compared ? "" : "; on each other there is a remark"),
      "#sizing");
  for (const std::string& each : remarks) s.shown.add(fmt::format("Remark: {}.", each), "#sizing");
  if (!findings.sizing->cycle_problem.empty()) {
    s.refuted.add("The cycle of the sizing: " + findings.sizing->cycle_problem + ".", "#sizing");
  }
}

void say_matrix(const Json& document, Found& s) {
  std::size_t not_seen = 0;
  for (const Json& row : document["matrix"]["rows"]) {
    const auto cells = row["cells"].get<std::string>();
    not_seen += static_cast<std::size_t>(std::count(cells.begin(), cells.end(), 'N')) +
                static_cast<std::size_t>(std::count(cells.begin(), cells.end(), 'P'));
  }
  if (not_seen != 0) {
    s.not_covered.add(
        fmt::format("{} of the cause-and-effect matrix took no output away in any scenario.",
                    counted(not_seen, "cell")),
        "#matrix");
  }
}

void say_assumptions(const Findings& findings, Found& s) {
  s.assumed.add(
      "The oven behaves as its model with the figures of the machine file: a lumped plant, one "
      "temperature for the gas and for each part.",
      "#settings");
  s.assumed.add("Operator, wiring and hardware behave as the scenarios state.", "#scenarios");
  if (!findings.proof) return;
  for (const std::string& each : findings.proof->assumptions) {
    s.assumed.add("Of the proofs: " + each + ".", "#proofs");
  }
}

}  // namespace

Json summary_section(const Findings& findings, const Json& document, const std::string& caution) {
  Found s;
  say_cycle(findings, s);
  say_scenarios(findings, s);
  say_proof(findings, s);
  say_campaign(findings, s);
  say_sizing(findings, s);
  say_matrix(document, s);
  s.not_covered.add("Hazards that are not on the list, and failures that no run names.",
                    "#hazards");
  say_assumptions(findings, s);
  Json refuted = s.refuted.take();
  const bool holds = refuted.empty();
  const std::string verdict = !holds ? fmt::format("FAILS: {}", counted(refuted.size(), "finding"))
                              : s.accepted_hazards == 0
                                  ? "HOLDS: nothing that was tried failed"
                                  : fmt::format("HOLDS with {}: nothing else that was tried failed",
                                                counted(s.accepted_hazards, "accepted hazard"));
  Json cautions{caution,
                "The demo ovens and all their figures are invented. No certification is "
                "claimed for the program, the firmware or any result.",
                fmt::format("{} places of the program, its guides and its tests use a figure or a "
                            "clause that was not checked against its standard or source. "
                            "docs/unverified.md, with the program's sources, lists each.",
                            unverified_places)};
  if (findings.sizing) {
    for (const std::string& each : findings.sizing->cautions) cautions.push_back(each);
  }
  return {{"holds", holds},
          {"verdict", verdict},
          {"accepted", s.accepted.take()},
          {"shown", s.shown.take()},
          {"refuted", std::move(refuted)},
          {"not_covered", s.not_covered.take()},
          {"assumed", s.assumed.take()},
          {"cautions", std::move(cautions)}};
}

}  // namespace ovenproof::evidence
