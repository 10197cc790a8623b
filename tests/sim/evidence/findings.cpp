#include "findings.hpp"

#include "sim/hazards/hazards.hpp"
#include "sim/machine/load.hpp"

namespace ovenproof::evidence {

Findings sound_findings() {
  Findings findings;
  findings.machine = std::get<machine::Machine>(
      machine::load_file(SOURCE_DIR "/scenarios/machines/bronze_strip_160.yaml"));
  CycleFinding cycle;
  cycle.result.simulated_s = 7200.0;
  cycle.result.cycles_planned = 1;
  cycle.result.cycles_completed = 1;
  cycle.result.cycles.resize(1);
  for (const hazards::Hazard& hazard : hazards::default_hazards()) {
    cycle.result.hazards.push_back(
        {hazard.id, hazard.title, hazard.property(), true, std::nullopt, "10 s"});
  }
  findings.cycle = cycle;
  ProofFinding proof;
  proof.proof.complete = true;
  proof.proof.states = 5;
  proof.proof.scans = 50;
  prove::Claim claim;
  claim.interlock = {"REQ-HEAT-01", "R-DOOR-OPEN", "heat only behind a closed door", "always true"};
  claim.standing = prove::Standing::proved;
  proof.proof.claims.push_back(claim);
  proof.assumptions = {"two facts exclude each other"};
  findings.proof = proof;
  findings.scenarios = ScenarioFinding{};
  return findings;
}

Making some_making() {
  return {"ovenproof evidence machine.yaml --out DIR", "", "Take care.", {{"a.csv", "raw"}}};
}

nlohmann::json made(const Findings& findings) {
  return nlohmann::json::parse(document(findings, some_making()).text);
}

}  // namespace ovenproof::evidence
