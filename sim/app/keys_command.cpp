#include "sim/app/keys_command.hpp"

#include <memory>
#include <string>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "sim/app/terminal.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/reference.hpp"
#include "sim/machine/schema.hpp"
#include "sim/scenario/schema.hpp"

namespace ovenproof::app {

namespace {

struct Options {
  bool markdown = false;
  bool schema = false;
  bool scenario_schema = false;
  std::string beginning;
};

std::string text(const std::string& beginning, const Style& style) {
  std::string out;
  for (const machine::Key& key : machine::all_keys()) {
    if (!key.path.starts_with(beginning)) continue;
    out += style.heading(key.path) + '\n' +
           paragraph(fmt::format("{}; {}", key.what, accepts_text(key)), 4, 4);
    std::string standard = default_text(key);
    if (key.required) {
      standard = "required";
    } else if (!standard.empty()) {
      standard = "default " + standard;
    }
    if (const machine::Decider by = machine::decider(key.part); !by.key.empty()) {
      standard +=
          fmt::format("{}only where {} is {}", standard.empty() ? "" : ", ", by.key, by.must_be);
    }
    if (!standard.empty()) out += paragraph(standard, 4, 4);
    if (!key.source.empty()) out += paragraph(fmt::format("source: {}", key.source), 4, 4);
  }
  return out;
}

ExitStatus keys(const Options& options) {
  if (options.scenario_schema) {
    print(scenario::json_schema());
  } else if (options.schema) {
    print(machine::json_schema());
  } else if (options.markdown) {
    print(machine::key_reference());
  } else {
    const std::string found = text(options.beginning, Style(stdout));
    if (found.empty()) {
      complain("no key begins so; without it, all keys are listed");
      return ExitStatus::bad_input;
    }
    print(found);
  }
  return ExitStatus::all_holds;
}

}  // namespace

void add_keys_command(CLI::App& app, Chosen& chosen) {
  const auto options = std::make_shared<Options>();
  CLI::App* command = app.add_subcommand("keys", "list the keys of a machine file");
  command->add_option("BEGINNING", options->beginning, "only keys that begin so, such as purge.");
  CLI::Option* markdown =
      command->add_flag("--markdown", options->markdown, "as the Markdown of docs/machine-keys.md");
  CLI::Option* schema =
      command->add_flag("--schema", options->schema, "as JSON Schema, for editors")
          ->excludes(markdown);
  command
      ->add_flag("--scenario-schema", options->scenario_schema, "the JSON Schema of scenario files")
      ->excludes(markdown)
      ->excludes(schema);
  command->footer(
      "Each key with what it is, what it accepts, its default, and where default and\n"
      "range come from.\n"
      "\n"
      "Examples:\n"
      "  ovenproof keys\n"
      "  ovenproof keys purge.\n"
      "  ovenproof keys --schema > machine.schema.json\n"
      "  ovenproof keys --scenario-schema > scenario.schema.json\n"
      "\n"
      "Exit status: 0; 2 the command is wrong; 3 internal fault.");
  command->callback([options, &chosen] { chosen = [options] { return keys(*options); }; });
}

}  // namespace ovenproof::app
