#include "sim/app/evidence_command.hpp"

#include <algorithm>
#include <memory>
#include <thread>

#include <CLI/CLI.hpp>

#include "sim/app/evidence_run.hpp"
#include "sim/app/evidence_verify.hpp"

namespace ovenproof::app {
namespace {

/// What has an influence on the pack.
void add_making_options(CLI::App* command, const std::shared_ptr<EvidenceArguments>& options) {
  command->add_option("MACHINE", options->machine, "machine file (YAML)");
  command
      ->add_option("--scenarios", options->scenarios,
                   "scenario files, and folders with them; those of this\n"
                   "machine are played; may be repeated")
      ->allow_extra_args(false);
  command->add_option("--cycles", options->cycles, "whole cycles, one after the other")
      ->check(CLI::Range(1, 100))
      ->capture_default_str();
  command->add_option("--trace-every", options->trace_every_ms, "interval of cycle.csv, ms")
      ->check(CLI::Range(10, 3600000))
      ->capture_default_str();
  command->add_flag_callback(
      "--no-proof", [options] { options->prove = false; }, "leave the proof out; the pack says so");
  command->add_flag("--campaign", options->campaign,
                    "inject failure modes, too, one by one; takes long");
  command->add_flag("--pairs", options->pairs, "with --campaign: inject pairs of failures, too");
  command
      ->add_option("--instants", options->plan.instants,
                   "least number of moments at which each failure\n"
                   "mode is injected")
      ->check(CLI::Range(1, 1000))
      ->capture_default_str();
  command->add_option("--seed", options->plan.seed, "of the random ones among these moments")
      ->capture_default_str();
  CLI::Option* kept = command->add_option("--campaign-file", options->campaign_file,
                                          "show the campaign that \"campaign --out\" kept in this\n"
                                          "file, of this machine file by this program, instead");
  for (const char* asked : {"--campaign", "--pairs", "--instants", "--seed"}) kept->excludes(asked);
  command
      ->add_option("--max-memory", options->memory_MiB, "memory for the states of the proof, MiB")
      ->check(CLI::Range(1, 1 << 20))
      ->capture_default_str();
  command->add_option("--date", options->date,
                      "a date to be stated in the pack, as you write it;\n"
                      "the program puts none into it by itself");
}

/// Verifying takes what is to be done from the pack.
void check_combination(const CLI::App& command, const CLI::Option* verify, const CLI::Option* out) {
  if (verify->empty()) {
    for (const CLI::Option* needed : {command.get_option("MACHINE"), out}) {
      if (needed->empty()) throw CLI::RequiredError(needed->get_name());
    }
    return;
  }
  for (const CLI::Option* option : command.get_options()) {
    if (option->empty() || option == verify || option->get_name() == "--jobs") continue;
    throw CLI::ExcludesError("--verify", option->get_name());
  }
}

}  // namespace

std::optional<EvidenceArguments> read_replay_arguments(const std::vector<std::string>& words) {
  const auto options = std::make_shared<EvidenceArguments>();
  CLI::App app;
  app.set_help_flag();
  add_making_options(&app, options);
  // The parser takes them from behind.
  std::vector<std::string> rest(words.rbegin(), words.rend());
  if (rest.empty() || rest.back() != "evidence") return std::nullopt;
  rest.pop_back();
  try {
    app.parse(rest);
  } catch (const CLI::ParseError&) {
    return std::nullopt;
  }
  if (options->machine.empty()) return std::nullopt;
  return *options;
}

void add_evidence_command(CLI::App& app, Chosen& chosen) {
  const auto options = std::make_shared<EvidenceArguments>();
  options->jobs = std::max(1U, std::thread::hardware_concurrency());
  const auto folder = std::make_shared<std::string>();
  CLI::App* command =
      app.add_subcommand("evidence", "write what was found about a machine into one folder");
  const CLI::Option* out = command->add_option("--out", options->out,
                                               "folder to write; an older pack there is replaced");
  const CLI::Option* verify =
      command->add_option("--verify", *folder, "make this pack again, elsewhere, and compare");
  add_making_options(command, options);
  command
      ->add_option("--jobs", options->jobs,
                   "threads; the result does not depend on it [one a\n"
                   "processor]")
      ->check(CLI::Range(1, 1024));
  command->footer(
      "Sizes the oven, runs whole cycles, plays the scenarios, explores the logic,\n"
      "and writes one folder: index.html, a page that opens from disk without a\n"
      "network and prints to A4 and Letter; the raw data; and manifest.json with the\n"
      "SHA-256 of every input and output (docs/evidence.md). The same inputs give the\n"
      "same bytes. The folder takes its name when it is whole; one that is no pack is\n"
      "left alone.\n"
      "\n"
      "--verify makes a pack again from the inputs that lie in it, and reports what\n"
      "differs: inputs, build, files, and where in them. Injections that were kept in a\n"
      "campaign file are not run again.\n"
      "\n"
      "Examples:\n"
      "  ovenproof evidence --scenarios scenarios/cases --out pack \\\n"
      "    scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof evidence --no-proof --out quick_look oven.yaml\n"
      "  ovenproof evidence --campaign-file oven.db --out pack oven.yaml\n"
      "  ovenproof evidence --verify pack\n"
      "\n"
      "Exit status: 0 all holds; 1 a hazard, a failed case or a refuted interlock, and\n"
      "the pack is written all the same; 2 a file or the command is wrong; 3 internal\n"
      "fault. Of --verify: 0 the same, whatever it shows; 1 something differs.\n"
      "\n"
      "Caution: a pack shows what was tried on a model. It supports a safety case and\n"
      "never replaces it.");
  command->callback([=, &chosen] {
    check_combination(*command, verify, out);
    if (verify->empty()) {
      chosen = [options] { return make_evidence(*options); };
    } else {
      chosen = [=] { return verify_evidence(*folder, options->jobs); };
    }
  });
}

}  // namespace ovenproof::app
