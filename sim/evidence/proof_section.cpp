#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/values.hpp"
#include "sim/prove/packed_state.hpp"

namespace ovenproof::evidence {
namespace {

/// The shortest run that breaks a claim, as a timing diagram needs it: a value each scan for every
/// fact that the way tells the logic, and for every output that comes on.
Json counterexample(const prove::Claim& claim) {
  const std::vector<prove::Reading>& told = claim.script->scans;
  const std::vector<prove::PlayedScan>& played = claim.played->scans;
  Json facts = Json::array();
  for (std::size_t f = 0; f < logic::fact_count; ++f) {
    const auto fact = static_cast<logic::Fact>(f);
    Json values = Json::array();
    Json said = Json::array();
    bool ever = false;
    for (std::size_t i = 0; i < told.size(); ++i) {
      const bool known = (told[i].known & logic::bit(fact)) != 0;
      ever = ever || known;
      values.push_back((played[i].facts & logic::bit(fact)) != 0 ? 1 : 0);
      said.push_back(known ? 1 : 0);
    }
    if (!ever) continue;
    facts.push_back({{"name", logic::name_of(fact)}, {"values", values}, {"told", said}});
  }
  Json phases = Json::array();
  std::vector<logic::OutputSet> on;
  for (std::size_t i = 0; i < told.size(); ++i) {
    const logic::LogicState after = prove::unpack(played[i].answer.state);
    phases.push_back(logic::name_of(after.places.phase));
    on.push_back(after.memory.energised);
  }
  Json outputs = Json::array();
  for (std::size_t o = 0; o < logic::output_count; ++o) {
    const auto output = static_cast<logic::Output>(o);
    Json values = Json::array();
    bool ever = false;
    for (const logic::OutputSet set : on) {
      ever = ever || set.has(output);
      values.push_back(set.has(output) ? 1 : 0);
    }
    if (ever) outputs.push_back({{"name", logic::name_of(output)}, {"values", values}});
  }
  Json json{{"born", logic::row_of(claim.script->born).key},
            {"scans", told.size()},
            {"facts", std::move(facts)},
            {"outputs", std::move(outputs)},
            {"phases", std::move(phases)}};
  json["violated_in"] = claim.played->violated_in ? Json(*claim.played->violated_in) : Json();
  return json;
}

}  // namespace

Json proof_section(const ProofFinding& finding) {
  const prove::Proof& proof = finding.proof;
  Json claims = Json::array();
  for (const prove::Claim& claim : proof.claims) {
    Json one{{"id", claim.interlock.id},
             {"covers", claim.interlock.covers},
             {"title", claim.interlock.title},
             {"property", claim.interlock.text},
             {"standing", name_of(claim.standing)}};
    if (claim.script && claim.played) one["counterexample"] = counterexample(claim);
    claims.push_back(std::move(one));
  }
  Json idle = Json::array();
  for (const prove::Part& part : proof.idle) {
    if (part.kind != prove::PartKind::cell) idle.push_back({name_of(part.kind), part.name});
  }
  const prove::Recovery& r = proof.recovery;
  Json recovery{{"states", r.states},
                {"longest_s", seconds(r.longest_ms)},
                {"cycle_states", r.cycles},
                {"longest_cycle_s", seconds(r.longest_cycle_ms)}};
  if (r.stuck) {
    const logic::LogicState from = prove::unpack(r.stuck->from);
    recovery["stuck"] = {{"from", logic::name_of(from.places.phase)},
                         {"wanted", r.stuck->wanted},
                         {"after_s", seconds(r.stuck->after_ms)},
                         {"at", logic::name_of(r.stuck->at.places.phase)}};
  }
  return {{"holds", proof.holds()},
          {"complete", proof.complete},
          {"states", proof.states},
          {"scans", proof.scans},
          {"transitions", proof.transitions},
          {"depth", proof.depth},
          {"claims", std::move(claims)},
          {"recovery", std::move(recovery)},
          {"parts", proof.parts},
          {"never_at_work", std::move(idle)},
          {"assumptions", finding.assumptions}};
}

}  // namespace ovenproof::evidence
