#pragma once
#include <string>
#include <vector>

#include "sim/app/terminal.hpp"
#include "sim/machine/error.hpp"
#include "sim/scenario/result.hpp"
#include "sim/scenario/suite.hpp"

namespace ovenproof::app {

/// A suite that was run; `results` may be shorter than `items`.
struct SuiteRun {
  const std::vector<scenario::Item>& items;
  const std::vector<scenario::CaseResult>& results;
};

/// The failures in full, waived hazards, and the sums: text for people. Lines hold at most 80
/// columns but for the commands that replay a case, which must be whole to be copied.
std::string suite_report(const SuiteRun& run, const Style& style);

/// One failed case in full.
std::string failure_report(const scenario::Item& item, const scenario::CaseResult& result,
                           const Style& style);

/// The suite as one JSON object with a newline at the end, with what it exercised if `coverage`.
std::string suite_json(const SuiteRun& run, bool coverage = false);

/// The suite as JUnit XML, in what the two common schemas share: a test suite each file, a test
/// case each case. Times are simulated seconds, and the date is fixed, so that the same run gives
/// the same bytes. A file that could not be read is a suite with one error for each mistake.
std::string suite_junit(const SuiteRun& run, const std::vector<machine::Error>& unread = {});

/// Names of the cases, one a line.
std::string suite_list(const std::vector<scenario::Item>& items);

/// What the whole suite exercised and what not: requirements, hazards, causes and cells of the
/// matrix, phases and transitions.
std::string coverage_report(const SuiteRun& run, const Style& style);

/// The command line that runs this case alone.
std::string replay_command(const scenario::Item& item);

}  // namespace ovenproof::app
