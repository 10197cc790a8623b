#include "sim/app/program.hpp"

#include <algorithm>
#include <cstdio>
#include <exception>
#include <memory>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <spdlog/sinks/stdout_color_sinks.h>
#include <spdlog/spdlog.h>

#include "sim/app/campaign_command.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/check_command.hpp"
#include "sim/app/diff_command.hpp"
#include "sim/app/evidence_command.hpp"
#include "sim/app/keys_command.hpp"
#include "sim/app/prove_command.hpp"
#include "sim/app/replay_command.hpp"
#include "sim/app/run_command.hpp"
#include "sim/app/size_command.hpp"
#include "sim/app/terminal.hpp"
#include "sim/machine/error.hpp"
#include "sim/machine/suggest.hpp"

namespace ovenproof::app {

namespace {

constexpr const char* about =
    "Checks the interlocks of oven-control firmware: runs it against a simulated\n"
    "oven, injects faults, explores every order of events its logic can meet, and\n"
    "reports which of the listed hazards occurred.\n";

std::string closing() {
  return "Examples:\n"
         "  ovenproof check scenarios/machines/bronze_strip_160.yaml\n"
         "  ovenproof run scenarios/machines/bronze_strip_160.yaml\n"
         "  ovenproof run --help\n"
         "\n"
         "Results go to standard output, log and progress to standard error.\n"
         "Exit status: 0 all holds; 1 something does not, such as a hazard that occurred;\n"
         "2 the input or the command is wrong; 3 internal fault. COMMAND --help says more.\n"
         "\n" +
         paragraph("Caution: " + std::string(caution));
}

/// Help without the parser's remarks on types and exclusions, which teach nobody, and with each
/// default.
class Help final : public CLI::Formatter {
 public:
  Help() { column_width(22); }
  std::string make_option_opts(const CLI::Option* option) const override {
    if (option->get_type_size() == 0 || option->get_positional()) return "";
    // "UINT:INT in [1 - 1024]" and the like: the type and, behind a colon, what is checked.
    const std::string type = option->get_type_name();
    const std::string name = type.substr(0, type.find(':'));
    if (name == "UINT" || name == "INT" || name == "FLOAT") return " N";
    return " " + name;
  }
  std::string make_option_desc(const CLI::Option* option) const override {
    const std::string value = option->get_default_str();
    const std::string text = option->get_description();
    if (value.empty() || value == "\"\"" || text.find('[') != std::string::npos) return text;
    return text + " [" + value + "]";
  }
};

void set_up_log(bool quiet, bool verbose) {
  auto log = std::make_shared<spdlog::logger>(
      "ovenproof", std::make_shared<spdlog::sinks::stderr_color_sink_st>());
  log->set_pattern("%^%l%$: %v");
  log->set_level(quiet     ? spdlog::level::warn
                 : verbose ? spdlog::level::debug
                           : spdlog::level::info);
  spdlog::set_default_logger(std::move(log));
}

ExitStatus wrong_command(std::string_view what) {
  complain(fmt::format("{}", machine::shown(what, 1000)));
  std::fputs("ovenproof --help explains the commands, and COMMAND --help each of them.\n", stderr);
  return ExitStatus::bad_input;
}

/// Help and version are results, anything else is a wrong command.
ExitStatus answer(const CLI::App& app, const CLI::ParseError& error) {
  std::ostringstream out;
  std::ostringstream err;
  if (app.exit(error, out, err) != 0) return wrong_command(error.what());
  print(out.str());
  return ExitStatus::all_holds;
}

/// The first argument that is no option names the command (no option of the program itself takes a
/// value); the parser would only say that it
/// misses one.
std::optional<std::string> unknown_command(const CLI::App& app, int count,
                                           const char* const* arguments) {
  std::vector<std::string> names;
  for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
  for (int i = 1; i < count; ++i) {
    const std::string word = arguments[i];
    if (word.starts_with('-')) continue;
    if (std::find(names.begin(), names.end(), word) != names.end()) return std::nullopt;
    const std::string near = machine::nearest(word, names);
    return fmt::format("there is no command {}{}", machine::shown(word),
                       near.empty() ? "" : fmt::format("; did you mean {}?", near));
  }
  return std::nullopt;
}

ExitStatus parse_and_run(int count, const char* const* arguments) {
  CLI::App app(about, "ovenproof");
  app.set_version_flag("--version", "ovenproof " OVENPROOF_VERSION, "print the version");
  app.set_help_flag("-h,--help", "print this help");
  app.require_subcommand(1);
  app.fallthrough();
  app.footer(closing());
  app.formatter(std::make_shared<Help>());
  bool quiet = false;
  bool verbose = false;
  CLI::Option* silent = app.add_flag("-q,--quiet", quiet, "log only warnings and errors");
  app.add_flag("-v,--verbose", verbose, "log details")->excludes(silent);
  Chosen chosen;
  add_check_command(app, chosen);
  add_size_command(app, chosen);
  add_run_command(app, chosen);
  add_prove_command(app, chosen);
  add_campaign_command(app, chosen);
  add_replay_command(app, chosen);
  add_evidence_command(app, chosen);
  add_diff_command(app, chosen);
  add_keys_command(app, chosen);
  if (const auto complaint = unknown_command(app, count, arguments))
    return wrong_command(*complaint);
  try {
    app.parse(count, arguments);
  } catch (const CLI::ParseError& error) {
    return answer(app, error);
  }
  set_up_log(quiet, verbose);
  return chosen();
}

int status(ExitStatus value) { return static_cast<int>(value); }

}  // namespace

int run_program(int count, const char* const* arguments) {
  try {
    return status(parse_and_run(count, arguments));
  } catch (const std::exception& fault) {
    std::fprintf(stderr, "ovenproof: internal fault: %s\n", fault.what());
  } catch (...) {
    std::fputs("ovenproof: internal fault of unknown kind\n", stderr);
  }
  return status(ExitStatus::internal_fault);
}

}  // namespace ovenproof::app
