#pragma once
#include <cstddef>
#include <map>
#include <string>

#include "sim/app/scenario_report.hpp"
#include "sim/scenario/coverage.hpp"

namespace ovenproof::app {

/// What the cases of a suite exercised together.
scenario::Coverage merged_coverage(const SuiteRun& run);

/// How many cases that passed carry each id of a requirement or hazard.
std::map<std::string, std::size_t> carried_ids(const SuiteRun& run);

}  // namespace ovenproof::app
