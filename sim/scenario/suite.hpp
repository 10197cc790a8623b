#pragma once
#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <variant>
#include <vector>

#include "sim/cycle/plan.hpp"
#include "sim/scenario/case.hpp"
#include "sim/scenario/result.hpp"

namespace ovenproof::scenario {

/// A machine among scenarios: whole cycles without faults, judged by the default hazards.
struct MachineRun {
  std::shared_ptr<const OvenContext> oven;
  std::string file;
  cycle::Plan plan;
};

/// One line of a suite.
struct Item {
  std::variant<Case, MachineRun> what;

  [[nodiscard]] const std::string& file() const;
  [[nodiscard]] std::string name() const;
  [[nodiscard]] const OvenContext& oven() const;
};

enum class TraceFormat : std::uint8_t { none, csv, vcd };

struct SuiteOptions {
  unsigned jobs = 1;       ///< worker threads, at least 1
  bool fail_fast = false;  ///< nothing after the first failure counts
  TraceFormat trace = TraceFormat::none;
  std::uint32_t trace_every_ms = 100;
  std::filesystem::path out;  ///< folder of the traces, which exists
};

/// How far a suite is.
struct SuiteProgress {
  std::size_t done = 0;
  std::size_t failed = 0;
  std::size_t total = 0;
};

/// Runs all items on a pool of threads. The results are those of `items` in their order, and the
/// same for any number of jobs; after a failure with `fail_fast` the later ones are missing.
///
/// `progress` is called from the workers, one at a time. Throws what a worker threw, such as
/// std::runtime_error when a trace cannot be written.
std::vector<CaseResult> run_suite(const std::vector<Item>& items, const SuiteOptions& options,
                                  const std::function<void(const SuiteProgress&)>& progress);

/// Name of a case made fit to be a file's: letters, digits and `-_.=`, the rest `_`.
std::string file_name_of(const std::string& case_name);

}  // namespace ovenproof::scenario
