#include "sim/app/diff_command.hpp"

#include <filesystem>
#include <memory>
#include <stdexcept>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "sim/app/cautions.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/diff_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/evidence/document.hpp"
#include "sim/evidence/read_pack.hpp"
#include "sim/machine/load.hpp"

namespace ovenproof::app {
namespace {

namespace fs = std::filesystem;

struct Arguments {
  std::string first;
  std::string second;
  bool all = false;
  bool json = false;
};

evidence::Content pack_content(const fs::path& folder) {
  const evidence::StatedManifest stated = evidence::read_manifest(folder);
  std::string scenarios;
  for (const evidence::ListedFile& each : stated.manifest.outputs) {
    if (each.path == "scenarios.json") scenarios = evidence::read_pack_file(folder / each.path);
  }
  return evidence::content_of(evidence::read_pack_file(folder / "evidence.json"), scenarios);
}

/// What can be said of a machine without simulating it.
evidence::Content machine_content(const machine::Machine& machine) {
  evidence::Findings findings;
  findings.machine = machine;
  findings.sizing = sizing::size(machine, sizing::formulas_alone());
  return evidence::content_of(evidence::document(findings, {}).text, "");
}

/// Of a folder or a machine file; nothing, with the reason told, if it is neither.
std::optional<evidence::Content> read(const std::string& path) {
  std::error_code failure;
  if (fs::is_directory(path, failure)) {
    try {
      return pack_content(path);
    } catch (const std::runtime_error& error) {
      complain(fmt::format("{}: {}", machine::shown(path, 200), error.what()));
      return std::nullopt;
    }
  }
  const machine::Loaded loaded = machine::load_file(path);
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&loaded)) {
    std::fputs(error_report(*errors, Style(stderr)).c_str(), stderr);
    return std::nullopt;
  }
  return machine_content(std::get<machine::Machine>(loaded));
}

ExitStatus diff(const Arguments& arguments) {
  const auto first = read(arguments.first);
  const auto second = read(arguments.second);
  if (!first || !second) return ExitStatus::bad_input;
  const Compared compared{{arguments.first, arguments.second},
                          {first->machine, second->machine},
                          evidence::changes(*first, *second)};
  constexpr std::size_t most = 25;
  print(arguments.json ? diff_json(compared)
                       : diff_report(compared, arguments.all ? 0 : most, Style(stdout)) + '\n' +
                             paragraph(caution));
  return compared.changes.empty() ? ExitStatus::all_holds : ExitStatus::failed;
}

}  // namespace

void add_diff_command(CLI::App& app, Chosen& chosen) {
  const auto arguments = std::make_shared<Arguments>();
  CLI::App* command = app.add_subcommand("diff", "show what changed between packs or machines");
  command->add_option("A", arguments->first, "an evidence pack (folder) or a machine file")
      ->required();
  command->add_option("B", arguments->second, "another")->required();
  command->add_flag("--all", arguments->all, "every change, however many; else 25 of each kind");
  command->add_flag("--json", arguments->json, "print one JSON object instead of text");
  command->footer(
      "Shows verdicts, margins, settings, I/O list, cause-and-effect matrix, state\n"
      "chart, reachable states, figures and build, each with what A and B say of it;\n"
      "first what got worse. Of machine files only what follows without simulation is\n"
      "compared. What was done for one of them alone is listed once. Whether two packs\n"
      "are the same to the byte is for evidence --verify.\n"
      "\n"
      "Examples:\n"
      "  ovenproof diff pack_before pack_after\n"
      "  ovenproof diff scenarios/machines/bronze_strip_160.yaml \\\n"
      "    scenarios/machines/coil_anneal_300.yaml\n"
      "\n"
      "Exit status: 0 nothing changed; 1 something did; 2 a file or the command is\n"
      "wrong; 3 internal fault.\n"
      "\n"
      "Caution: that nothing changed says nothing about whether it was right before.");
  command->callback([arguments, &chosen] { chosen = [arguments] { return diff(*arguments); }; });
}

}  // namespace ovenproof::app
