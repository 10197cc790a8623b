#include "sim/app/run_command.hpp"

#include <chrono>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "sim/app/check_report.hpp"
#include "sim/app/run_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/machine/load.hpp"
#include "sim/rig/trace_csv.hpp"

namespace ovenproof::app {
namespace {

struct Options {
  std::string file;
  cycle::Plan plan;
  std::string trace;
  std::uint32_t trace_every_ms = 1000;
  bool json = false;
};

/// One line on standard error that is written over while it is a terminal; else silence.
class ProgressLine {
 public:
  void operator()(double simulated_s, logic::Phase phase) {
    if (!on_terminal_) return;
    const double wall_s =
        std::chrono::duration<double>(std::chrono::steady_clock::now() - began_).count();
    if (wall_s - shown_s_ < 0.2) return;
    shown_s_ = wall_s;
    fmt::print(stderr, "\r{:<78}",
               fmt::format("{} simulated, {}, {:.0f} times real time",
                           clock_text(static_cast<std::uint64_t>(simulated_s * 1000.0)),
                           logic::name_of(phase), simulated_s / wall_s));
  }
  ~ProgressLine() {
    if (on_terminal_ && shown_s_ > 0.0) fmt::print(stderr, "\r{:78}\r", "");
  }

 private:
  bool on_terminal_ = ::isatty(STDERR_FILENO) != 0;
  std::chrono::steady_clock::time_point began_ = std::chrono::steady_clock::now();
  double shown_s_ = 0.0;
};

ExitStatus run(const Options& options) {
  const machine::Loaded loaded = machine::load_file(options.file);
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&loaded)) {
    std::fputs(error_report(*errors, Style(stderr)).c_str(), stderr);
    return ExitStatus::bad_input;
  }
  const auto& machine = std::get<machine::Machine>(loaded);
  const rig::Oven oven{machine.plant, machine.settings, {}, {}};
  try {
    const rig::Rig can_be_stepped(oven);
  } catch (const std::invalid_argument& error) {
    spdlog::error("{}: {}", options.file, error.what());
    return ExitStatus::bad_input;
  }
  std::error_code no_such_file;
  if (std::filesystem::equivalent(options.trace, options.file, no_such_file)) {
    spdlog::error("{}: the trace would overwrite the machine file", options.trace);
    return ExitStatus::bad_input;
  }

  std::optional<rig::TraceCsv> trace;
  if (!options.trace.empty()) {
    try {
      trace.emplace(options.trace, options.trace_every_ms);
    } catch (const std::runtime_error& error) {
      spdlog::error("{}", error.what());
      return ExitStatus::bad_input;
    }
  }
  cycle::Observer observer;
  if (trace) observer = [&trace](const rig::Rig& rig) { trace->observe(rig); };

  cycle::RunResult result;
  {
    ProgressLine progress;
    result = cycle::run(oven, options.plan, observer,
                        [&progress](double s, logic::Phase phase) { progress(s, phase); });
  }
  if (trace) trace->finish();
  print(options.json ? run_json(machine, result) : run_report(machine, result, Style(stdout)));
  return result.all_holds() ? ExitStatus::all_holds : ExitStatus::failed;
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
  CLI::App* command = app.add_subcommand("run", "run an oven through whole cycles");
  command->add_option("MACHINE", options->file, "machine file (YAML)")->required();
  CLI::Option* cycles =
      command->add_option("--cycles", options->plan.cycles, "cycles to run, one after the other")
          ->check(CLI::Range(1, 1000))
          ->capture_default_str();
  command->add_option("--loading", options->plan.loading_s, "time the door stands open to load, s")
      ->check(CLI::Range(1, 86400))
      ->capture_default_str();
  command
      ->add_option_function<std::string>(
          "--open-door-in",
          [options](const std::string& phase) {
            options->plan.open_door_in = phases_to_open_in().at(phase);
          },
          "open the door in this phase of the first cycle, close it again, and see\n"
          "that nothing starts by itself")
      ->excludes(cycles)
      ->check(CLI::IsMember(phases_to_open_in()));
  command->add_option("--trace", options->trace, "write every signal to this CSV file");
  command->add_option("--trace-every", options->trace_every_ms, "interval of the trace, ms")
      ->check(CLI::Range(10, 3600000))
      ->capture_default_str();
  command->add_flag("--json", options->json, "print one JSON object instead of text");
  command->footer(
      "The controller's firmware runs scan by scan, on a mock of its board, against the\n"
      "simulated oven. An attendant does what the manual would say: resets it after\n"
      "power-up, loads it, closes the door, starts it, waits, unloads. Hazards are\n"
      "judged on what physically happens in the oven, not on what the controller\n"
      "believes.\n"
      "\n"
      "Examples:\n"
      "  ovenproof run scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof run --cycles 1 --trace cycle.csv scenarios/machines/coil_cure_300.yaml\n"
      "  ovenproof run --open-door-in soak scenarios/machines/bronze_strip_160.yaml\n"
      "\n"
      "With the door opened hot, the load meets air: that hazard is waived, and said so.\n"
      "\n"
      "Exit status: 0 the cycles completed without a hazard; 1 they did not; 2 a file\n"
      "or the command is wrong; 3 internal fault.\n"
      "\n"
      "Caution: a cycle without a hazard shows that the cycle works, not that the oven\n"
      "is safe when something fails.");
  command->callback([options, &chosen] { chosen = [options] { return run(*options); }; });
}

}  // namespace ovenproof::app
