#pragma once
#include <string>
#include <vector>

#include "sim/app/exit_status.hpp"
#include "sim/cycle/plan.hpp"
#include "sim/scenario/suite.hpp"

namespace ovenproof::app {

/// What the command line asks of a suite.
struct SuiteArguments {
  std::vector<std::string> paths;
  cycle::Plan plan;   ///< for machines among them
  unsigned jobs = 0;  ///< 0: as many as there are processors
  std::string filter;
  std::string junit;  ///< file
  std::string out;    ///< folder of the traces
  scenario::TraceFormat trace = scenario::TraceFormat::none;
  std::uint32_t trace_every_ms = 100;
  bool json = false;
  bool list = false;
  bool fail_fast = false;
  bool coverage = false;
};

/// Runs machines, scenarios and folders as one suite.
ExitStatus run_scenarios(const SuiteArguments& arguments);

}  // namespace ovenproof::app
