#include "sim/app/scenario_coverage.hpp"

#include <algorithm>
#include <map>
#include <set>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "firmware/logic/matrix.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/hazards/requirements.hpp"

namespace ovenproof::app {
namespace {

using logic::Cause;
using logic::Output;
using logic::Phase;
using scenario::Case;

std::string list_of(const std::vector<std::string>& names, std::string_view none) {
  return names.empty() ? paragraph(none, 4, 4)
                       : paragraph(fmt::format("{}", fmt::join(names, ", ")), 4, 4);
}

template <class Rows, class IdOf, class TextOf>
std::string ids_text(std::string_view title, const Rows& rows, const IdOf& id_of,
                     const TextOf& text_of, const std::map<std::string, std::size_t>& carried,
                     const Style& style) {
  std::size_t covered = 0;
  std::string lines;
  for (const auto& row : rows) {
    const auto found = carried.find(id_of(row));
    const std::size_t count = found == carried.end() ? 0 : found->second;
    covered += count > 0 ? 1 : 0;
    const std::string line = table_row(
        {count > 0 ? fmt::format("{}", count) : "none", id_of(row), text_of(row)}, {5, 26, 44});
    lines += count > 0 ? line : style.warning(line);
  }
  return style.heading(fmt::format("{}: {} of {} carried by a case that passed", title, covered,
                                   rows.size())) +
         '\n' + lines + '\n';
}

std::string matrix_text(const scenario::Coverage& all, const Style& style) {
  std::size_t rows = 0;
  std::size_t cells = 0;
  std::size_t cells_came = 0;
  std::string lines;
  for (const logic::Row& row : logic::matrix) {
    std::vector<std::string> came;
    std::vector<std::string> open;
    for (std::size_t i = 0; i < logic::output_count; ++i) {
      const auto output = static_cast<Output>(i);
      if (!row.withholds.has(output)) continue;
      ++cells;
      (all.withheld(row.cause, output) ? came : open).emplace_back(logic::name_of(output));
    }
    cells_came += came.size();
    rows += all.came(row.cause) ? 1 : 0;
    const std::string line = table_row(
        {all.came(row.cause) ? "yes" : "no", row.key,
         open.empty() ? "all"
                      : fmt::format("{}; not: {}",
                                    came.empty() ? "none" : fmt::format("{}", fmt::join(came, " ")),
                                    fmt::join(open, " "))},
        {4, 30, 41});
    lines += all.came(row.cause) && open.empty() ? line : style.warning(line);
  }
  return style.heading(
             fmt::format("Matrix: {} of {} causes came, {} of {} cells took an output away", rows,
                         logic::matrix.size(), cells_came, cells)) +
         '\n' + table_row({"came", "cause", "outputs it took away"}, {4, 30, 41}) + lines + '\n';
}

std::string text_of(scenario::Transition step) {
  return fmt::format("{} > {}", logic::name_of(step.from), logic::name_of(step.to));
}

std::string phases_text(const scenario::Coverage& all, const Style& style) {
  std::vector<std::string> visited;
  std::vector<std::string> unvisited;
  std::vector<std::string> skipping;
  const auto& known = scenario::sequence_transitions;
  for (std::size_t from = 0; from < logic::phase_count; ++from) {
    const auto phase = static_cast<Phase>(from);
    (all.visited(phase) ? visited : unvisited).emplace_back(logic::name_of(phase));
    for (std::size_t to = 0; to < logic::phase_count; ++to) {
      const scenario::Transition step{phase, static_cast<Phase>(to)};
      const bool single = std::find(known.begin(), known.end(), step) != known.end();
      if (!single && all.went(step.from, step.to)) skipping.push_back(text_of(step));
    }
  }
  std::vector<std::string> taken;
  std::vector<std::string> untaken;
  for (const scenario::Transition step : known) {
    (all.went(step.from, step.to) ? taken : untaken).push_back(text_of(step));
  }
  std::string out =
      style.heading(fmt::format("Phases: {} of {}", visited.size(), logic::phase_count)) + '\n' +
      list_of(visited, "none");
  if (!unvisited.empty()) {
    out += style.warning(paragraph("not visited:", 2)) + list_of(unvisited, "");
  }
  out += '\n' + style.heading(fmt::format("Transitions: {} of {}", taken.size(), known.size())) +
         '\n' + list_of(taken, "none");
  if (!untaken.empty()) out += style.warning(paragraph("not taken:", 2)) + list_of(untaken, "");
  if (!skipping.empty()) out += paragraph("two in one scan:", 2) + list_of(skipping, "");
  return out;
}

}  // namespace

scenario::Coverage merged_coverage(const SuiteRun& run) {
  scenario::Coverage all;
  for (const scenario::CaseResult& each : run.results) all.merge(each.coverage);
  return all;
}

std::map<std::string, std::size_t> carried_ids(const SuiteRun& run) {
  std::map<std::string, std::size_t> ids;
  for (std::size_t i = 0; i < run.results.size(); ++i) {
    const auto* one = std::get_if<Case>(&run.items[i].what);
    if (one == nullptr || !run.results[i].passed()) continue;
    std::set<std::string> own(one->covers.begin(), one->covers.end());
    for (const scenario::Expectation& each : one->expectations) {
      own.insert(each.covers.begin(), each.covers.end());
    }
    for (const std::string& id : own) ++ids[id];
  }
  return ids;
}

std::string coverage_report(const SuiteRun& run, const Style& style) {
  const scenario::Coverage all = merged_coverage(run);
  const auto carried = carried_ids(run);
  std::string out = ids_text(
      "Requirements", hazards::requirements(), [](const hazards::Requirement& r) { return r.id; },
      [](const hazards::Requirement& r) { return r.text; }, carried, style);
  out += ids_text(
      "Hazards", hazards::default_hazards(), [](const hazards::Hazard& h) { return h.id; },
      [](const hazards::Hazard& h) { return h.title; }, carried, style);
  return out + matrix_text(all, style) + phases_text(all, style);
}

}  // namespace ovenproof::app
