#include "sim/app/scenario_run.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <stdexcept>
#include <thread>

#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "sim/app/check_report.hpp"
#include "sim/app/progress.hpp"
#include "sim/app/scenario_files.hpp"
#include "sim/app/scenario_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/rig/part_file.hpp"

namespace ovenproof::app {
namespace {

namespace fs = std::filesystem;

/// Writes a file whole or not at all; makes its folder.
bool write_whole(const std::string& path, const std::string& text) {
  std::error_code failure;
  const fs::path folder = fs::path(path).parent_path();
  if (!folder.empty()) fs::create_directories(folder, failure);
  if (failure) {
    complain(fmt::format("cannot make the folder {}: {}", folder.string(), failure.message()));
    return false;
  }
  try {
    rig::PartFile file(path);
    file.stream() << text;
    file.finish();
    return true;
  } catch (const std::runtime_error& error) {
    complain(error.what());
    return false;
  }
}

/// Two cases must not share a trace.
bool names_differ(const std::vector<scenario::Item>& items) {
  std::map<std::string, const scenario::Item*> seen;
  for (const scenario::Item& item : items) {
    const auto [at, fresh] = seen.emplace(scenario::file_name_of(item.name()), &item);
    if (fresh) continue;
    complain(
        fmt::format("the traces of {} in {} and of {} in {} would have one name: run them apart",
                    at->second->name(), at->second->file(), item.name(), item.file()));
    return false;
  }
  return true;
}

/// What can be seen to go wrong before anything is simulated.
bool outputs_possible(const SuiteArguments& arguments, const std::vector<scenario::Item>& items) {
  if (arguments.trace == scenario::TraceFormat::none) return true;
  std::error_code failure;
  fs::create_directories(arguments.out, failure);
  if (failure) {
    complain(fmt::format("cannot make the folder {}: {}", arguments.out, failure.message()));
    return false;
  }
  return names_differ(items);
}

}  // namespace

ExitStatus run_scenarios(const SuiteArguments& arguments) {
  Found found = find_items(arguments.paths, arguments.plan);
  for (const std::string& path : found.passed_over) {
    spdlog::info("passed over {}: neither a machine nor a scenario", path);
  }
  if (!found.errors.empty()) {
    std::fputs(error_report(found.errors, Style(stderr)).c_str(), stderr);
    // The reader of the results file must see why it has no results.
    if (!arguments.junit.empty() && !arguments.list) {
      write_whole(arguments.junit, suite_junit(SuiteRun{{}, {}}, found.errors));
    }
    return ExitStatus::bad_input;
  }
  std::vector<scenario::Item>& items = found.items;
  std::erase_if(items, [&](const scenario::Item& item) {
    return item.name().find(arguments.filter) == std::string::npos;
  });
  if (items.empty()) {
    complain(fmt::format("no case's name holds \"{}\"", machine::shown(arguments.filter)));
    return ExitStatus::bad_input;
  }
  if (arguments.list) {
    print(suite_list(items));
    return ExitStatus::all_holds;
  }
  if (!outputs_possible(arguments, items)) return ExitStatus::bad_input;

  scenario::SuiteOptions options;
  options.jobs =
      arguments.jobs != 0 ? arguments.jobs : std::max(1U, std::thread::hardware_concurrency());
  options.fail_fast = arguments.fail_fast;
  options.trace = arguments.trace;
  options.trace_every_ms = arguments.trace_every_ms;
  options.out = arguments.out;
  std::vector<scenario::CaseResult> results;
  {
    Progress progress;
    results = scenario::run_suite(items, options, [&progress](const scenario::SuiteProgress& p) {
      progress.count(p.done, p.total, fmt::format("cases ({} failed)", p.failed));
    });
  }
  const SuiteRun run{items, results};
  if (!arguments.junit.empty() && !write_whole(arguments.junit, suite_junit(run))) {
    return ExitStatus::bad_input;
  }
  if (arguments.json) {
    print(suite_json(run, arguments.coverage));
  } else {
    std::string text = suite_report(run, Style(stdout));
    if (arguments.coverage) text += '\n' + coverage_report(run, Style(stdout));
    print(text);
  }
  const bool all_hold = std::all_of(results.begin(), results.end(),
                                    [](const scenario::CaseResult& each) { return each.passed(); });
  return all_hold ? ExitStatus::all_holds : ExitStatus::failed;
}

}  // namespace ovenproof::app
