#include <cmath>

#include <nlohmann/json.hpp>

#include "firmware/logic/matrix.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/scenario_coverage.hpp"
#include "sim/app/scenario_report.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/hazards/requirements.hpp"
#include "sim/machine/cause_tags.hpp"
#include "sim/scenario/checkpoint.hpp"

namespace ovenproof::app {
namespace {

using Json = nlohmann::ordered_json;
using properties::Outcome;
using scenario::Case;
using scenario::CaseResult;

double seconds(std::uint64_t ms) { return static_cast<double>(ms) / 1000.0; }

const char* name_of(Outcome outcome) {
  switch (outcome) {
    case Outcome::holds:
      return "holds";
    case Outcome::violated:
      return "violated";
    case Outcome::undecided:
      break;
  }
  return "undecided";
}

Json margins_json(const properties::Verdict& verdict) {
  Json all = Json::array();
  for (const properties::Margin& margin : verdict.margins) {
    Json one{{"unit", margin.unit}};
    // JSON has no infinity: no change of this quantity alone would have changed the verdict.
    one["value"] = std::isfinite(margin.value) ? Json(margin.value) : Json();
    one["scan"] = margin.scan;
    one["bound"] = margin.bound;
    all.push_back(std::move(one));
  }
  return all;
}

Json expectation_json(const scenario::ExpectationVerdict& each) {
  Json json{{"name", each.name},
            {"property", each.property},
            {"met", each.met},
            {"outcome", name_of(each.verdict.outcome)},
            {"vacuous", each.verdict.vacuous},
            {"happened", each.happened},
            {"margins", margins_json(each.verdict)}};
  json["failed_s"] = each.when_ms ? Json(seconds(*each.when_ms)) : Json();
  return json;
}

Json hazard_json(const scenario::JudgedHazard& each) {
  Json json{
      {"id", each.verdict.id}, {"avoided", each.verdict.avoided}, {"margin", each.verdict.margin}};
  json["first_s"] = each.verdict.first_ms ? Json(seconds(*each.verdict.first_ms)) : Json();
  json["waived"] = each.waived.empty() ? Json() : Json(each.waived);
  return json;
}

Json case_json(const scenario::Item& item, const CaseResult& result) {
  Json json{{"name", item.name()}, {"file", item.file()}, {"machine", item.oven().machine.name}};
  if (const auto* one = std::get_if<Case>(&item.what)) {
    json["shows"] = one->shows;
    json["covers"] = one->covers;
    json["start"] = scenario::to_text(one->start);
  }
  json["passed"] = result.passed();
  json["began_s"] = seconds(result.began_ms);
  json["simulated_s"] = seconds(result.ended_ms - result.began_ms);
  json["problems"] = result.problems;
  json["expectations"] = Json::array();
  for (const auto& each : result.expectations) {
    json["expectations"].push_back(expectation_json(each));
  }
  json["hazards"] = Json::array();
  for (const auto& each : result.hazards) json["hazards"].push_back(hazard_json(each));
  if (!result.passed()) {
    json["failed_s"] = result.failed_ms ? Json(seconds(*result.failed_ms)) : Json();
    json["events"] = Json::array();
    for (const cycle::Event& event : result.events) {
      json["events"].push_back(
          {{"s", seconds(event.ms)},
           {"kind", cycle::name_of(event.kind)},
           {"text", machine::with_tags(event.text, event.cause, item.oven().machine)}});
    }
    json["replay"] = replay_command(item);
  }
  return json;
}

template <class Rows>
Json carried_json(const Rows& rows, const std::map<std::string, std::size_t>& carried) {
  Json json = Json::object();
  for (const auto& row : rows) {
    const auto found = carried.find(row.id);
    json[row.id] = found == carried.end() ? 0 : found->second;
  }
  return json;
}

Json matrix_json(const scenario::Coverage& all) {
  Json rows = Json::array();
  for (const logic::Row& row : logic::matrix) {
    Json took = Json::array();
    Json not_taken = Json::array();
    for (std::size_t i = 0; i < logic::output_count; ++i) {
      const auto output = static_cast<logic::Output>(i);
      if (!row.withholds.has(output)) continue;
      (all.withheld(row.cause, output) ? took : not_taken).push_back(logic::name_of(output));
    }
    rows.push_back({{"cause", row.key},
                    {"came", all.came(row.cause)},
                    {"took_away", std::move(took)},
                    {"did_not_take_away", std::move(not_taken)}});
  }
  return rows;
}

Json coverage_json(const SuiteRun& run) {
  const scenario::Coverage all = merged_coverage(run);
  const auto carried = carried_ids(run);
  Json phases = Json::object();
  for (std::size_t i = 0; i < logic::phase_count; ++i) {
    const auto phase = static_cast<logic::Phase>(i);
    phases[logic::name_of(phase)] = all.visited(phase);
  }
  Json transitions = Json::array();
  for (const scenario::Transition step : scenario::sequence_transitions) {
    transitions.push_back({{"from", logic::name_of(step.from)},
                           {"to", logic::name_of(step.to)},
                           {"taken", all.went(step.from, step.to)}});
  }
  return {{"requirements", carried_json(hazards::requirements(), carried)},
          {"hazards", carried_json(hazards::default_hazards(), carried)},
          {"matrix", matrix_json(all)},
          {"phases", std::move(phases)},
          {"transitions", std::move(transitions)}};
}

}  // namespace

std::string suite_json(const SuiteRun& run, bool coverage) {
  std::size_t failed = 0;
  Json cases = Json::array();
  for (std::size_t i = 0; i < run.results.size(); ++i) {
    failed += run.results[i].passed() ? 0 : 1;
    cases.push_back(case_json(run.items[i], run.results[i]));
  }
  Json json{{"all_hold", failed == 0},
            {"cases_run", run.results.size()},
            {"cases_failed", failed},
            {"cases_not_run", run.items.size() - run.results.size()},
            {"cases", std::move(cases)}};
  if (coverage) json["coverage"] = coverage_json(run);
  json["caution"] = caution;
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace ovenproof::app
