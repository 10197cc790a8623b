#include "sim/app/check_command.hpp"

#include <memory>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "sim/app/cautions.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/app/warning_report.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/warnings.hpp"

namespace ovenproof::app {

namespace {

struct Options {
  std::vector<std::string> files;
  bool json = false;
  bool digest = false;
};

void report_errors(const std::vector<Checked>& all) {
  for (const Checked& one : all) {
    if (const auto* errors = std::get_if<std::vector<machine::Error>>(&one.loaded)) {
      std::fputs(error_report(*errors, Style(stderr)).c_str(), stderr);
    }
  }
}

ExitStatus check(const Options& options) {
  std::vector<Checked> all;
  bool bad = false;
  for (const std::string& file : options.files) {
    all.push_back({file, machine::load_file(file)});
    bad = bad || !std::holds_alternative<machine::Machine>(all.back().loaded);
  }
  if (options.digest) {
    for (const Checked& one : all) {
      const auto* machine = std::get_if<machine::Machine>(&one.loaded);
      if (machine == nullptr) continue;
      print(fmt::format("# for {}\n{}", machine::shown(one.file, 4096), sign_off_text(*machine)));
    }
    report_errors(all);
  } else if (options.json) {
    print(check_json(all));
  } else {
    std::string results;
    for (const Checked& one : all) {
      if (const auto* machine = std::get_if<machine::Machine>(&one.loaded)) {
        if (!results.empty()) results += '\n';
        results += check_report(*machine, Style(stdout));
        results += warning_report(machine::warnings_in_file(one.file), Style(stdout));
      }
    }
    if (!results.empty()) print(results + '\n' + paragraph(caution));
    report_errors(all);
  }
  return bad ? ExitStatus::bad_input : ExitStatus::all_holds;
}

}  // namespace

void add_check_command(CLI::App& app, Chosen& chosen) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      app.add_subcommand("check", "validate machine files and print what follows from them");
  command->add_option("MACHINE", options->files, "machine files (YAML)")->required();
  command->add_flag("--json", options->json, "print one JSON object instead of text");
  command
      ->add_flag("--digest", options->digest,
                 "print the lines of a sign-off for accepted and excluded\n"
                 "failure modes and safety data (docs/machine-files.md)")
      ->excludes("--json");
  command->footer(
      "Prints what the oven is, what the file accepts and who signed for it, its I/O\n"
      "list with tags, every key that differs from its default, and figures by\n"
      "formula: purge time, oxygen floor, heat-up, gas used, room oxygen. Programme\n"
      "and temperature controller run once on the plant model, without logic or\n"
      "faults, to warn of overshoot into a limit and of cooling that ends late.\n"
      "Nothing is written.\n"
      "All errors of all files are reported at once, each with file, line, column,\n"
      "key, what was expected and what was found.\n"
      "\n"
      "Examples:\n"
      "  ovenproof check scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof check --json scenarios/machines/*.yaml\n"
      "\n"
      "Exit status: 0 all files are good; 2 a file or the command is wrong;\n"
      "3 internal fault.\n"
      "\n"
      "The keys of a machine file: ovenproof keys. Caution: the figures are estimates\n"
      "for orientation, and a file that passes is consistent, not safe.");
  command->callback([options, &chosen] { chosen = [options] { return check(*options); }; });
}

}  // namespace ovenproof::app
