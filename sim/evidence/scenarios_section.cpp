#include <nlohmann/json.hpp>

#include "sim/evidence/sections.hpp"
#include "sim/evidence/values.hpp"
#include "sim/machine/keys.hpp"
#include "sim/scenario/checkpoint.hpp"

namespace ovenproof::evidence {
namespace {

/// Why a case failed, in words; empty if it did not.
std::string failure_of(const scenario::CaseResult& result) {
  std::string text;
  const auto add = [&text](const std::string& what) { text += (text.empty() ? "" : "; ") + what; };
  for (const std::string& problem : result.problems) add("not played: " + problem);
  for (const scenario::ExpectationVerdict& each : result.expectations) {
    if (!each.met) add(each.name + ": " + each.happened);
  }
  for (const scenario::JudgedHazard& each : result.hazards) {
    if (!each.fine()) add("hazard: " + each.verdict.title);
  }
  return text;
}

/// Keys in which the oven of a case is not the machine as it is: "purge.gate 50 ppm".
std::vector<std::string> differences(const machine::Machine& of_case, const machine::Machine& m) {
  std::vector<std::string> all;
  for (const machine::Key& key : machine::all_keys()) {
    if (key.kind == machine::KeyKind::text) continue;
    const machine::List* list = machine::list_of(key.path);
    const std::size_t items = list == nullptr ? 1 : list->size(of_case);
    for (std::size_t i = 0; i < items; ++i) {
      const bool ours = list == nullptr || i < list->size(m);
      const std::string theirs = value_text(key, of_case, i);
      if (ours && theirs == value_text(key, m, i)) continue;
      all.push_back(key.path + ' ' + theirs);
    }
  }
  return all;
}

Json covers_of(const scenario::Case& one) {
  Json ids = Json::array();
  const auto add = [&ids](const std::string& id) {
    for (const Json& known : ids) {
      if (known == id) return;
    }
    ids.push_back(id);
  };
  for (const std::string& id : one.covers) add(id);
  for (const scenario::Expectation& each : one.expectations) {
    for (const std::string& id : each.covers) add(id);
  }
  return ids;
}

Json case_json(const scenario::Case& one, const scenario::CaseResult& result) {
  Json json{{"name", one.name},
            {"start", scenario::to_text(one.start)},
            {"s", seconds(result.ended_ms - result.began_ms)},
            {"passed", result.passed()}};
  if (!result.passed()) json["failure"] = failure_of(result);
  return json;
}

}  // namespace

Json scenarios_section(const Findings& findings) {
  const ScenarioFinding& all = *findings.scenarios;
  Json groups = Json::array();
  std::size_t passed = 0;
  std::uint64_t simulated_ms = 0;
  const scenario::OvenContext* last_oven = nullptr;
  for (std::size_t i = 0; i < all.results.size(); ++i) {
    const auto& one = std::get<scenario::Case>(all.items[i].what);
    const scenario::CaseResult& result = all.results[i];
    passed += result.passed() ? 1 : 0;
    simulated_ms += result.ended_ms - result.began_ms;
    Json covers = covers_of(one);
    // Cases of one file that show the same are one group, so that nothing is said twice.
    if (groups.empty() || groups.back()["file"] != one.file ||
        groups.back()["shows"] != one.shows || groups.back()["covers"] != covers ||
        last_oven != one.oven.get()) {
      groups.push_back({{"file", one.file},
                        {"shows", one.shows},
                        {"covers", std::move(covers)},
                        {"unlike_machine", differences(one.oven->machine, findings.machine)},
                        {"cases", Json::array()}});
      last_oven = one.oven.get();
    }
    groups.back()["cases"].push_back(case_json(one, result));
  }
  return {{"played", all.results.size()},
          {"passed", passed},
          {"of_other_machines", all.of_other_machines},
          {"simulated_s", seconds(simulated_ms)},
          {"groups", std::move(groups)}};
}

}  // namespace ovenproof::evidence
