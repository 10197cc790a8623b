#include <cmath>

#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/prove_report.hpp"

namespace ovenproof::app {
namespace {

using Json = nlohmann::ordered_json;

Json script_json(const prove::Claim& claim) {
  Json scans = Json::array();
  for (std::size_t i = 0; i < claim.script->scans.size(); ++i) {
    const prove::Reading& reading = claim.script->scans[i];
    const logic::LogicState after = prove::unpack(claim.played->scans[i].answer.state);
    Json facts = Json::object();
    for (std::size_t f = 0; f < logic::fact_count; ++f) {
      const auto fact = static_cast<logic::Fact>(f);
      if ((reading.known & logic::bit(fact)) == 0) continue;
      facts[logic::name_of(fact)] = (reading.value & logic::bit(fact)) != 0;
    }
    Json energised = Json::array();
    for (std::size_t o = 0; o < logic::output_count; ++o) {
      const auto output = static_cast<logic::Output>(o);
      if (after.memory.energised.has(output)) energised.push_back(logic::name_of(output));
    }
    scans.push_back({{"facts", std::move(facts)},
                     {"phase", logic::name_of(after.places.phase)},
                     {"energised", std::move(energised)}});
  }
  return {{"born", logic::row_of(claim.script->born).key}, {"scans", std::move(scans)}};
}

Json proof_json(const prove::Proof& proof) {
  Json claims = Json::array();
  for (const prove::Claim& claim : proof.claims) {
    Json each{{"id", claim.interlock.id},
              {"covers", claim.interlock.covers},
              {"title", claim.interlock.title},
              {"property", claim.interlock.text},
              {"standing", name_of(claim.standing)}};
    if (!claim.never_met.empty()) each["never_met"] = claim.never_met;
    if (claim.script) each["counterexample"] = script_json(claim);
    claims.push_back(std::move(each));
  }
  Json idle = Json::array();
  for (const prove::Part& part : proof.idle) {
    idle.push_back({{"kind", name_of(part.kind)}, {"name", part.name}});
    if (!part.idle_because.empty()) idle.back()["because"] = part.idle_because;
  }
  const prove::Recovery& r = proof.recovery;
  Json recovery{{"holds", !r.stuck},
                {"states", r.states},
                {"longest_s", static_cast<double>(r.longest_ms) / 1000.0},
                {"cycle_states", r.cycles},
                {"longest_cycle_s", static_cast<double>(r.longest_cycle_ms) / 1000.0}};
  return {{"options",
           {{"oxygen_monitor", proof.options.oxygen_monitor},
            {"jacket_cooling", proof.options.jacket_cooling},
            {"start_by_door", proof.options.start_by_door},
            {"max_repurges", proof.options.max_repurges}}},
          {"holds", proof.holds()},
          {"complete", proof.complete},
          {"as_explored", proof.as_explored},
          {"states", proof.states},
          {"scans", proof.scans},
          {"steps", proof.steps},
          {"transitions", proof.transitions},
          {"depth", proof.depth},
          {"state_bytes", proof.peak_bytes},
          {"bytes_per_state", std::round(10 * proof.bytes_per_state()) / 10},
          {"interlocks", std::move(claims)},
          {"recovery", std::move(recovery)},
          {"parts", proof.parts},
          {"idle_parts", std::move(idle)}};
}

}  // namespace

std::string prove_json(const ProveResult& result) {
  Json json{{"all_hold", result.all_hold()}};
  json["machine"] = result.machine.empty() ? Json() : Json(result.machine);
  json["configurations"] = Json::array();
  for (const prove::Proof& proof : result.proofs) {
    json["configurations"].push_back(proof_json(proof));
  }
  json["assumptions"] = result.assumptions;
  json["caution"] = caution;
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace ovenproof::app
