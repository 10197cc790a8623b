#include "sim/app/run_command.hpp"

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "sim/app/attendant_option.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/progress.hpp"
#include "sim/app/run_report.hpp"
#include "sim/app/scenario_files.hpp"
#include "sim/app/scenario_run.hpp"
#include "sim/app/terminal.hpp"
#include "sim/machine/load.hpp"
#include "sim/rig/trace_csv.hpp"

namespace ovenproof::app {
namespace {

struct Options {
  SuiteArguments suite;
  std::string trace;  ///< csv, vcd, or a file for the trace of a single machine
  std::optional<std::uint32_t> trace_every_ms;
};

/// One machine alone: its timeline and key figures are told in full.
ExitStatus run_machine(const Options& options) {
  const machine::Loaded loaded = machine::load_file(options.suite.paths.front());
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&loaded)) {
    std::fputs(error_report(*errors, Style(stderr)).c_str(), stderr);
    return ExitStatus::bad_input;
  }
  const auto& machine = std::get<machine::Machine>(loaded);
  const rig::Oven oven{machine.plant, machine.settings, {}, {}};
  try {
    const rig::Rig can_be_stepped(oven);
  } catch (const std::invalid_argument& error) {
    complain(fmt::format("{}: {}", options.suite.paths.front(), error.what()));
    return ExitStatus::bad_input;
  }
  std::error_code no_such_file;
  if (std::filesystem::equivalent(options.trace, options.suite.paths.front(), no_such_file)) {
    complain(fmt::format("{}: the trace would overwrite the machine file", options.trace));
    return ExitStatus::bad_input;
  }

  std::optional<rig::TraceCsv> trace;
  if (!options.trace.empty()) {
    try {
      trace.emplace(options.trace, options.trace_every_ms.value_or(1000));
    } catch (const std::runtime_error& error) {
      complain(error.what());
      return ExitStatus::bad_input;
    }
  }
  cycle::Observer observer;
  if (trace) observer = [&trace](const rig::Rig& rig) { trace->observe(rig); };

  cycle::RunResult result;
  {
    Progress progress;
    result = cycle::run(
        oven, options.suite.plan, observer, [&progress](double simulated_s, logic::Phase phase) {
          progress.show([&] {
            return fmt::format("{} simulated, {}, {:.0f} times real time",
                               clock_text(static_cast<std::uint64_t>(simulated_s * 1000.0)),
                               logic::name_of(phase), simulated_s / progress.seconds());
          });
        });
  }
  if (trace) trace->finish();
  print(options.suite.json ? run_json(machine, result)
                           : run_report(machine, result, Style(stdout)));
  return result.all_holds() ? ExitStatus::all_holds : ExitStatus::failed;
}

std::optional<scenario::TraceFormat> trace_format(const std::string& word) {
  if (word.empty()) return scenario::TraceFormat::none;
  if (word == "csv") return scenario::TraceFormat::csv;
  if (word == "vcd") return scenario::TraceFormat::vcd;
  return std::nullopt;
}

/// A single machine is told in full unless something only a suite has is wanted.
bool is_machine_alone(const Options& options) {
  const SuiteArguments& suite = options.suite;
  const bool suite_wanted = suite.list || suite.coverage || suite.fail_fast ||
                            !suite.junit.empty() || !suite.out.empty() || !suite.filter.empty();
  return suite.paths.size() == 1 && !suite_wanted &&
         kind_of(suite.paths.front()) == FileKind::machine;
}

ExitStatus run(const Options& options) {
  const std::optional<scenario::TraceFormat> format = trace_format(options.trace);
  if (is_machine_alone(options)) {
    if (format.value_or(scenario::TraceFormat::none) == scenario::TraceFormat::none) {
      return run_machine(options);
    }
    complain(fmt::format("--trace {0} needs --out DIR; or name the file: --trace trace.csv",
                         options.trace));
    return ExitStatus::bad_input;
  }
  if (!format) {
    complain("--trace FILE is for a single machine; for others: --trace csv|vcd --out DIR");
    return ExitStatus::bad_input;
  }
  SuiteArguments suite = options.suite;
  suite.trace = *format;
  suite.trace_every_ms = options.trace_every_ms.value_or(100);
  if ((suite.trace != scenario::TraceFormat::none) == suite.out.empty()) {
    complain("--trace csv|vcd and --out DIR go together");
    return ExitStatus::bad_input;
  }
  return run_scenarios(suite);
}

const std::map<std::string, logic::Phase>& phases_to_open_in() {
  static const std::map<std::string, logic::Phase> phases = [] {
    std::map<std::string, logic::Phase> all;
    for (const logic::Phase phase :
         {logic::Phase::purging, logic::Phase::ramp, logic::Phase::soak, logic::Phase::cooling}) {
      all.emplace(logic::name_of(phase), phase);
    }
    return all;
  }();
  return phases;
}

}  // namespace

void add_run_command(CLI::App& app, Chosen& chosen) {
  const auto options = std::make_shared<Options>();
  SuiteArguments& suite = options->suite;
  CLI::App* command = app.add_subcommand("run", "run machines and scenarios, and judge them");
  command->add_option("PATH", suite.paths, "machine files, scenario files, and folders with them")
      ->required();
  command->add_option("--jobs", suite.jobs, "cases at once [one a processor]")
      ->check(CLI::Range(1, 1024));
  command->add_option("--filter", suite.filter, "only cases whose name holds this text");
  command->add_flag("--list", suite.list, "print the names of the cases and run none");
  command->add_flag("--fail-fast", suite.fail_fast, "stop at the first failure");
  command->add_option("--junit", suite.junit, "write the results to this file as JUnit XML");
  command->add_flag("--json", suite.json, "print one JSON object instead of text");
  command->add_flag("--coverage", suite.coverage,
                    "add which requirements, causes, matrix cells, phases and\n"
                    "transitions were exercised, and which not");
  command->add_option("--out", suite.out, "folder for the traces of the cases");
  command->add_option("--trace", options->trace,
                      "csv or vcd: a trace of each case in --out; of a machine\n"
                      "alone, the CSV file to write");
  command
      ->add_option("--trace-every", options->trace_every_ms,
                   "interval of traces, ms; default 100, alone 1000")
      ->check(CLI::Range(10, 3600000));
  CLI::Option* cycles =
      command->add_option("--cycles", suite.plan.cycles, "of machines: cycles, one after the other")
          ->check(CLI::Range(1, 1000))
          ->capture_default_str();
  command
      ->add_option("--loading", suite.plan.loading_s,
                   "of machines: time of reaching in to unload and load,\n"
                   "after the airing, s")
      ->check(CLI::Range(1, 86400))
      ->capture_default_str();
  add_attendant_option(*command, suite.plan.habit, "of machines: who works the oven");
  command
      ->add_option_function<std::string>(
          "--open-door-in",
          [options](const std::string& phase) {
            options->suite.plan.open_door_in = phases_to_open_in().at(phase);
          },
          "of machines: open the door in this phase of the first\n"
          "cycle, close it again, and see that nothing starts")
      ->excludes(cycles)
      ->check(CLI::IsMember(phases_to_open_in()));
  command->footer(
      "The controller's firmware runs scan by scan, on a simulated board, against\n"
      "the simulated oven. Scenarios script what happens and say what must hold\n"
      "(docs/scenarios.md). A machine is run through whole cycles by a simulated\n"
      "attendant who works it as intended; a machine alone is reported with its\n"
      "timeline and key figures.\n"
      "Hazards are judged on what physically happens in the oven, not on what the\n"
      "controller believes.\n"
      "\n"
      "Examples:\n"
      "  ovenproof run scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof run --trace cycle.csv scenarios/machines/coil_anneal_300.yaml\n"
      "  ovenproof run --jobs 2 --junit results.xml scenarios/\n"
      "  ovenproof run --filter phase=soak --coverage scenarios/cases\n"
      "\n"
      "Opening a hot oven exposes the load to air. That hazard is waived, and the\n"
      "report gives the reason.\n"
      "\n"
      "Exit status: 0 all holds, no hazard occurred; 1 it did not hold; 2 a file or\n"
      "the command is wrong; 3 internal fault.\n"
      "\n"
      "Caution: what passes shows what happened in those runs, not that an oven is\n"
      "safe.");
  command->callback([options, &chosen] { chosen = [options] { return run(*options); }; });
}

}  // namespace ovenproof::app
