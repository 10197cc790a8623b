#include "sim/app/replay_command.hpp"

#include <memory>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "sim/app/check_report.hpp"
#include "sim/app/progress.hpp"
#include "sim/app/replay_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/machine/load.hpp"

namespace ovenproof::app {
namespace {

struct Options {
  std::string log;
  std::string machine;
  std::string mapping;
  std::vector<std::string> properties;
  double tolerance_s = -1.0;
  double drive_tolerance_percent = 5.0;
  double gap_s = -1.0;
  bool from_power_up = false;
  bool skip_bad_rows = false;
  bool json = false;
  std::string out;
};

std::optional<std::int64_t> ms_of(double seconds) {
  if (seconds < 0.0) return std::nullopt;
  return static_cast<std::int64_t>(seconds * 1000.0 + 0.5);
}

replay::Request request_of(const Options& options) {
  replay::Request request;
  request.log = options.log;
  if (!options.mapping.empty()) request.mapping = options.mapping;
  request.properties = options.properties;
  request.tolerance_ms = ms_of(options.tolerance_s);
  request.drive_tolerance = options.drive_tolerance_percent / 100.0;
  request.gap_ms = ms_of(options.gap_s);
  request.from_power_up = options.from_power_up;
  request.skip_bad_rows = options.skip_bad_rows;
  if (!options.out.empty()) request.out = options.out;
  return request;
}

ExitStatus run(const Options& options) {
  const machine::Loaded loaded = machine::load_file(options.machine);
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&loaded)) {
    std::fputs(error_report(*errors, Style(stderr)).c_str(), stderr);
    return ExitStatus::bad_input;
  }
  const auto& machine = std::get<machine::Machine>(loaded);
  const replay::Request request = request_of(options);
  std::variant<replay::ReplayResult, replay::ErrorList> outcome;
  {
    Progress progress;
    outcome = replay::replay(machine, request, [&progress](double share) {
      progress.show([share] { return fmt::format("{:.0f} % of the log", 100.0 * share); });
    });
  }
  if (const auto* errors = std::get_if<replay::ErrorList>(&outcome)) {
    if (options.json) {
      print(replay_errors_json(*errors));
    } else {
      std::fputs(replay_errors(*errors, Style(stderr)).c_str(), stderr);
    }
    return ExitStatus::bad_input;
  }
  const auto& result = std::get<replay::ReplayResult>(outcome);
  print(options.json ? replay_json(machine, request, result)
                     : replay_report(machine, request, result, Style(stdout)));
  return result.all_holds() ? ExitStatus::all_holds : ExitStatus::failed;
}

}  // namespace

void add_replay_command(CLI::App& app, Chosen& chosen) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = app.add_subcommand("replay", "drive the firmware with a recorded log");
  command->add_option("LOG", options->log, "recorded log (CSV)")->required();
  command->add_option("--machine", options->machine, "machine file (YAML)")->required();
  command->add_option("--mapping", options->mapping,
                      "what the columns mean (YAML, docs/replay.md); without it,\n"
                      "columns must be called as signals are, as in a trace");
  command
      ->add_option("--property", options->properties,
                   "a further property, or a file with one in each line")
      ->allow_extra_args(false);
  command
      ->add_option("--tolerance", options->tolerance_s,
                   "how much earlier or later an output may change, s\n"
                   "[two scans and the sampling interval]")
      ->check(CLI::Range(0.0, 3600.0));
  command
      ->add_option("--drive-tolerance", options->drive_tolerance_percent,
                   "how far the heater drive may be off, % of full power")
      ->check(CLI::Range(0.0, 100.0))
      ->capture_default_str();
  command
      ->add_option("--gap", options->gap_s,
                   "a longer step in time takes the firmware's power away, s\n"
                   "[ten median steps, three regular steps (95 % are no\n"
                   "longer), at least 10 s]")
      ->check(CLI::Range(0.01, 86400.0));
  command->add_flag("--from-power-up", options->from_power_up,
                    "the log begins with the controller's power-up: compare\n"
                    "from the first row on");
  command->add_flag("--skip-bad-rows", options->skip_bad_rows,
                    "leave out rows with errors instead of refusing the log");
  command->add_option("--out", options->out, "write the rows around each finding to this folder");
  command->add_flag("--json", options->json, "print one JSON object instead of text");
  command->footer(
      "The controller's firmware runs scan by scan on a simulated board, without an\n"
      "oven: its inputs are the recorded ones. Reported is where its outputs differ\n"
      "from the recorded ones, and which properties the recording itself breaks. An\n"
      "input that was not recorded is assumed; the report says what.\n"
      "\n"
      "Examples:\n"
      "  ovenproof replay scenarios/logs/nominal.csv \\\n"
      "    --machine scenarios/machines/bronze_strip_160.yaml \\\n"
      "    --mapping scenarios/logs/site_mapping.yaml\n"
      "  ovenproof replay site.csv --machine oven.yaml --mapping site.yaml --out found\n"
      "\n"
      "Exit status: 0 no difference and no property broken; 1 a difference, a broken\n"
      "property, or nothing that could be compared; 2 a file or the command is wrong;\n"
      "3 internal fault.\n"
      "\n"
      "Caution: a replay judges what was recorded, not what was not.");
  command->callback([options, &chosen] { chosen = [options] { return run(*options); }; });
}

}  // namespace ovenproof::app
