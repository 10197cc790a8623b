#include "library.hpp"

#include <algorithm>
#include <map>
#include <stdexcept>

#include "sim/app/scenario_files.hpp"
#include "sim/cycle/plan.hpp"
#include "sim/scenario/play.hpp"

namespace ovenproof::defects {
namespace {

std::size_t beginning_of(const scenario::Case& one, std::vector<Library::Beginning>& known) {
  const auto same = [&](const Library::Beginning& each) {
    return each.oven == one.oven.get() && each.start == one.start;
  };
  const auto found = std::find_if(known.begin(), known.end(), same);
  if (found != known.end()) return static_cast<std::size_t>(found - known.begin());
  known.push_back({one.oven.get(), one.start});
  return known.size() - 1;
}

}  // namespace

Library load(const std::vector<std::string>& paths) {
  app::Found found = app::find_items(paths, cycle::Plan{});
  if (!found.errors.empty()) {
    std::string text;
    for (const machine::Error& each : found.errors) text += machine::to_text(each) + "\n";
    throw std::runtime_error(text);
  }
  Library library;
  library.items = std::move(found.items);
  for (const scenario::Item& item : library.items) {
    const auto* one = std::get_if<scenario::Case>(&item.what);
    library.beginning_of.push_back(one != nullptr ? beginning_of(*one, library.beginnings)
                                                  : Library::no_beginning);
  }
  return library;
}

void reach_beginnings(const Library& library, const std::vector<std::size_t>& wanted,
                      const std::function<void(std::size_t, const Checkpoint&)>& reached) {
  std::vector<const scenario::OvenContext*> ovens;
  for (const std::size_t each : wanted) {
    const scenario::OvenContext* oven = library.beginnings[each].oven;
    if (std::find(ovens.begin(), ovens.end(), oven) == ovens.end()) ovens.push_back(oven);
  }
  for (const scenario::OvenContext* oven : ovens) {
    std::vector<scenario::Start> starts;
    std::vector<std::size_t> indices;
    for (const std::size_t each : wanted) {
      if (library.beginnings[each].oven != oven) continue;
      starts.push_back(library.beginnings[each].start);
      indices.push_back(each);
    }
    scenario::reach(*oven, starts,
                    [&](std::size_t i, const Checkpoint& there) { reached(indices[i], there); });
  }
}

CaseResult play_item(const Library& library, std::size_t item, const Checkpoint* from,
                     bool stop_when_failed) {
  if (const auto* one = std::get_if<scenario::Case>(&library.items[item].what)) {
    return scenario::play(*one, *from, stop_when_failed, {});
  }
  return scenario::run_suite({library.items[item]}, scenario::SuiteOptions{}, {}).front();
}

std::vector<Finding> findings_of(const CaseResult& result) {
  std::vector<Finding> findings;
  for (const scenario::ExpectationVerdict& each : result.expectations) {
    if (!each.met) findings.push_back({"expectation", each.name, each.happened});
  }
  for (const scenario::JudgedHazard& each : result.hazards) {
    if (!each.fine()) findings.push_back({"hazard", each.verdict.title, ""});
  }
  for (const std::string& each : result.problems) findings.push_back({"problem", "", each});
  return findings;
}

}  // namespace ovenproof::defects
