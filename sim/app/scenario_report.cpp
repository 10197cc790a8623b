#include "sim/app/scenario_report.hpp"

#include <algorithm>
#include <map>
#include <tuple>

#include <fmt/format.h>

#include "sim/app/cautions.hpp"
#include "sim/app/run_report.hpp"
#include "sim/machine/cause_tags.hpp"

namespace ovenproof::app {
namespace {

using scenario::Case;
using scenario::CaseResult;
using scenario::ExpectationVerdict;
using scenario::Item;
using scenario::JudgedHazard;

/// Quoted for a shell if need be.
std::string shell_word(const std::string& word) {
  const auto plain = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
           std::string_view("-_./=+,:@%").find(c) != std::string_view::npos;
  };
  if (!word.empty() && std::all_of(word.begin(), word.end(), plain)) return word;
  std::string quoted = "'";
  for (const char c : word) quoted += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return quoted + "'";
}

std::string moment(std::uint64_t ms, const CaseResult& result) {
  return fmt::format("{}.{:03} s into the case ({} since power-up)",
                     (ms - std::min(ms, result.began_ms)) / 1000,
                     (ms - std::min(ms, result.began_ms)) % 1000, clock_text(ms));
}

std::string entry(std::string_view head, std::string_view text) {
  return table_row({std::string(head), std::string(text)}, {9, 67});
}

/// One entry for each reason of a file, whatever the number of its cases.
std::string waived_text(const SuiteRun& run, const Style& style) {
  struct Count {
    std::size_t cases = 0;
    std::size_t came_about = 0;
  };
  std::map<std::tuple<std::string, std::string, std::string>, Count> waived;
  for (std::size_t i = 0; i < run.results.size(); ++i) {
    for (const JudgedHazard& each : run.results[i].hazards) {
      if (each.waived.empty()) continue;
      Count& count = waived[{run.items[i].file(), each.verdict.id, each.waived}];
      ++count.cases;
      count.came_about += each.verdict.avoided ? 0 : 1;
    }
  }
  std::string out;
  for (const auto& [key, count] : waived) {
    const auto& [file, id, reason] = key;
    out += paragraph(fmt::format("{}: {} waived in {} case(s), in {} of which it occurred: {}",
                                 file, id, count.cases, count.came_about, reason),
                     2, 4);
  }
  return out.empty() ? out : style.heading("Waived hazards") + '\n' + out + '\n';
}

}  // namespace

std::string replay_command(const Item& item) {
  return fmt::format("ovenproof run --filter {} {}", shell_word(item.name()),
                     shell_word(item.file()));
}

std::string failure_report(const Item& item, const CaseResult& result, const Style& style) {
  std::string out = style.error(paragraph(fmt::format("FAILED {}", item.name()), 0, 7));
  if (const auto* one = std::get_if<Case>(&item.what)) out += entry("shows", one->shows);
  for (const std::string& problem : result.problems) out += entry("problem", problem);
  for (const ExpectationVerdict& each : result.expectations) {
    if (each.met) continue;
    out += entry("expected", each.name);
    if (each.property != each.name) out += entry("", each.property);
    out += entry("happened", each.happened);
    if (each.verdict.outcome == properties::Outcome::undecided) {
      out += entry("", "the run ended too soon to tell: give `until` more time");
    }
    out += entry("when", moment(*each.when_ms, result));
  }
  for (const JudgedHazard& each : result.hazards) {
    if (each.fine()) continue;
    out +=
        entry("expected", fmt::format("no hazard {}: {}", each.verdict.id, each.verdict.property));
    out += entry("happened", fmt::format("{}; margin {}", each.verdict.title, each.verdict.margin));
    out += entry("when", moment(each.verdict.first_ms.value_or(result.ended_ms), result));
  }
  out += entry("before it", fmt::format("the last {} events", result.events.size()));
  for (const cycle::Event& event : result.events) {
    out += table_row({clock_text(event.ms), cycle::name_of(event.kind),
                      machine::with_tags(event.text, event.cause, item.oven().machine)},
                     {11, 7, 44}, 12);
  }
  out += fmt::format("  replay    {}\n", replay_command(item));
  return out;
}

std::string suite_list(const std::vector<Item>& items) {
  std::string out;
  for (const Item& item : items) out += item.name() + '\n';
  return out;
}

std::string suite_report(const SuiteRun& run, const Style& style) {
  std::string out;
  std::size_t failed = 0;
  std::uint64_t simulated_ms = 0;
  std::size_t judged = 0;
  for (std::size_t i = 0; i < run.results.size(); ++i) {
    const CaseResult& result = run.results[i];
    simulated_ms += result.ended_ms - result.began_ms;
    judged += result.expectations.size() + result.hazards.size();
    if (result.passed()) continue;
    ++failed;
    out += failure_report(run.items[i], result, style) + '\n';
  }
  out += waived_text(run, style);
  const std::size_t not_run = run.items.size() - run.results.size();
  std::string sums = fmt::format(
      "{}: {} passed, {} failed{}; {} properties and hazards judged over {:.1f} h simulated",
      counted(run.results.size(), "case"), run.results.size() - failed, failed,
      not_run == 0 ? "" : fmt::format(", {} not run", not_run), judged,
      static_cast<double>(simulated_ms) / 3.6e6);
  sums = paragraph(sums);
  out += failed == 0 ? style.good(sums) : style.error(sums);
  return out + '\n' + paragraph(caution);
}

}  // namespace ovenproof::app
