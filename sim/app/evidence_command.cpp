#include "sim/app/evidence_command.hpp"

#include <algorithm>
#include <memory>
#include <thread>

#include <CLI/CLI.hpp>

#include "sim/app/evidence_run.hpp"

namespace ovenproof::app {

void add_evidence_command(CLI::App& app, Chosen& chosen) {
  const auto options = std::make_shared<EvidenceArguments>();
  options->jobs = std::max(1U, std::thread::hardware_concurrency());
  const auto no_proof = std::make_shared<bool>(false);
  CLI::App* command =
      app.add_subcommand("evidence", "write everything there is to show for a machine");
  command->add_option("MACHINE", options->machine, "machine file (YAML)")->required();
  command->add_option("--out", options->out, "folder to write; an older pack there is replaced")
      ->required();
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
  command->add_flag("--no-proof", *no_proof, "leave the proof out; the pack says so");
  command->add_flag("--campaign", options->campaign,
                    "inject failure modes, too, one by one; takes long");
  command->add_flag("--pairs", options->pairs, "with --campaign: inject pairs of failures, too");
  command
      ->add_option("--instants", options->plan.instants,
                   "least number of moments at which each failure mode is injected")
      ->check(CLI::Range(1, 1000))
      ->capture_default_str();
  command->add_option("--seed", options->plan.seed, "of the random ones among these moments")
      ->capture_default_str();
  command
      ->add_option("--max-memory", options->memory_MiB, "memory for the states of the proof, MiB")
      ->check(CLI::Range(1, 1 << 20))
      ->capture_default_str();
  command->add_option("--date", options->date,
                      "a date to be stated in the pack, as you write it; the program\n"
                      "puts none into it by itself");
  command->add_option("--jobs", options->jobs, "threads; the result does not depend on it")
      ->check(CLI::Range(1, 1024));
  command->footer(
      "Sizes the oven, runs whole cycles, plays the scenarios, proves the interlocks,\n"
      "and writes one folder: index.html, a page that opens from disk "
      "without a network and prints to\n"
      "A4 and Letter; the raw data; and manifest.json with the SHA-256 of every input\n"
      "and output (docs/evidence.md). The same inputs give the same bytes. The folder\n"
      "takes its name when it is whole; one that is no pack is left alone.\n"
      "\n"
      "Examples:\n"
      "  ovenproof evidence --scenarios scenarios/cases --out pack \\\n"
      "    scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof evidence --no-proof --out quick_look oven.yaml\n"
      "\n"
      "Exit status: 0 all holds; 1 a hazard, a failed case or a refuted interlock, and\n"
      "the pack is written all the same; 2 a file or the command is wrong; 3 internal\n"
      "fault.\n"
      "\n"
      "Caution: a pack shows what was tried on a model. It supports a safety case and\n"
      "never replaces it.");
  command->callback([options, no_proof, &chosen] {
    options->prove = !*no_proof;
    chosen = [options] { return make_evidence(*options); };
  });
}

}  // namespace ovenproof::app
