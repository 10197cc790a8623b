#include "sim/app/program.hpp"

#include <cstdio>
#include <exception>
#include <memory>
#include <sstream>

#include <CLI/CLI.hpp>
#include <spdlog/sinks/stdout_color_sinks.h>
#include <spdlog/spdlog.h>

#include "sim/app/check_command.hpp"
#include "sim/app/keys_command.hpp"
#include "sim/app/terminal.hpp"
#include "sim/machine/error.hpp"

namespace ovenproof::app {

namespace {

constexpr const char* about =
    "Proves at the desk that the control firmware of an inert-gas-purged oven is safe:\n"
    "the firmware that ships runs against a simulated oven over mock hardware.";

constexpr const char* closing =
    "Examples:\n"
    "  ovenproof check scenarios/machines/bronze_strip_160.yaml\n"
    "  ovenproof check --help\n"
    "\n"
    "Results go to standard output, log and progress to standard error.\n"
    "Exit status: 0 all holds; 1 a property failed or an interlock was refuted; 2 the\n"
    "input or the command was wrong; 3 internal fault.\n"
    "\n"
    "Caution: simulation supports a safety case and never replaces it. Hazards and the\n"
    "required performance level come from the machine's own risk assessment, by\n"
    "competent people, under local codes. Interlocks that protect people also need\n"
    "hard-wired means.";

void set_up_log(bool quiet, bool verbose) {
  auto log = std::make_shared<spdlog::logger>(
      "ovenproof", std::make_shared<spdlog::sinks::stderr_color_sink_st>());
  log->set_pattern("%^%l%$: %v");
  log->set_level(quiet     ? spdlog::level::warn
                 : verbose ? spdlog::level::debug
                           : spdlog::level::info);
  spdlog::set_default_logger(std::move(log));
}

int status(ExitStatus value) { return static_cast<int>(value); }

/// Help and version are results, anything else is a wrong command.
int answer(const CLI::App& app, const CLI::ParseError& error) {
  std::ostringstream out;
  std::ostringstream err;
  const bool good = app.exit(error, out, err) == 0;
  if (good) {
    print(out.str());
    return status(ExitStatus::all_holds);
  }
  std::fputs(paragraph("ovenproof: " + machine::shown(error.what(), 1000), 0, 4).c_str(), stderr);
  std::fputs("ovenproof --help explains the commands, and COMMAND --help each of them.\n", stderr);
  return status(ExitStatus::bad_input);
}

int parse_and_run(int count, const char* const* arguments) {
  CLI::App app(about, "ovenproof");
  app.set_version_flag("--version", "ovenproof " OVENPROOF_VERSION);
  app.require_subcommand(1);
  app.fallthrough();
  app.footer(closing);
  app.get_formatter()->column_width(26);
  bool quiet = false;
  bool verbose = false;
  CLI::Option* silent = app.add_flag("-q,--quiet", quiet, "log only warnings and errors");
  app.add_flag("-v,--verbose", verbose, "log details")->excludes(silent);
  Chosen chosen;
  add_check_command(app, chosen);
  add_keys_command(app, chosen);
  try {
    app.parse(count, arguments);
  } catch (const CLI::ParseError& error) {
    return answer(app, error);
  }
  set_up_log(quiet, verbose);
  return status(chosen());
}

}  // namespace

int run_program(int count, const char* const* arguments) {
  try {
    return parse_and_run(count, arguments);
  } catch (const std::exception& fault) {
    std::fprintf(stderr, "ovenproof: internal fault: %s\n", fault.what());
  } catch (...) {
    std::fputs("ovenproof: internal fault of unknown kind\n", stderr);
  }
  return status(ExitStatus::internal_fault);
}

}  // namespace ovenproof::app
