#include "sim/app/prove_command.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "firmware/controller/configuration.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/progress.hpp"
#include "sim/app/prove_durations.hpp"
#include "sim/app/prove_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/suggest.hpp"
#include "sim/parallel/run_all.hpp"
#include "sim/prove/scenario_file.hpp"

namespace ovenproof::app {
namespace {

struct Options {
  std::string file;
  bool all_options = false;
  bool list = false;
  std::vector<std::string> ids;
  std::vector<std::string> claims;
  std::vector<std::string> assumed;
  std::string out;
  unsigned jobs = std::max(1U, std::thread::hardware_concurrency());
  std::size_t memory_MiB = 2048;
  bool first_violation = false;
  bool json = false;
};

/// The interlocks that are wanted of those that the machine has, and the user's own claims.
std::vector<prove::Interlock> chosen(const Options& options, const logic::Options& machine) {
  std::vector<prove::Interlock> all = prove::interlocks(machine);
  if (!options.ids.empty() || !options.claims.empty()) {
    std::erase_if(all, [&](const prove::Interlock& interlock) {
      return std::find(options.ids.begin(), options.ids.end(), interlock.id) == options.ids.end();
    });
  }
  for (std::size_t i = 0; i < options.claims.size(); ++i) {
    all.push_back({fmt::format("FORMULA-{}", i + 1), "", options.claims[i], options.claims[i]});
  }
  return all;
}

/// Mistakes in what is to be proved, all at once.
std::vector<std::string> mistakes(const Options& options) {
  std::vector<std::string> errors;
  std::vector<std::string> known;
  for (const prove::Interlock& each : prove::interlocks({})) known.push_back(each.id);
  for (const std::string& id : options.ids) {
    if (std::find(known.begin(), known.end(), id) != known.end()) continue;
    const std::string near = machine::nearest(id, known);
    errors.push_back(fmt::format("--property: there is no interlock {}{} (--list shows them)",
                                 machine::shown(id),
                                 near.empty() ? "" : fmt::format("; did you mean {}?", near)));
  }
  for (const std::string& error : prove::check(chosen(options, {})).errors) {
    errors.push_back("--formula: " + error);
  }
  return errors;
}

/// "door_closed=true" and the like; nothing if one of them is wrong.
std::optional<prove::Reading> assumed_facts(const std::vector<std::string>& texts,
                                            std::vector<std::string>& errors) {
  prove::Reading reading;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < logic::fact_count; ++i) {
    names.emplace_back(logic::name_of(static_cast<logic::Fact>(i)));
  }
  for (const std::string& text : texts) {
    const std::size_t equals = text.find('=');
    const std::string name = text.substr(0, equals);
    const std::string value = equals == std::string::npos ? "" : text.substr(equals + 1);
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end() || (value != "true" && value != "false")) {
      const std::string near = machine::nearest(name, names);
      errors.push_back(fmt::format(
          "--assume: expected FACT=true or FACT=false, found {}{}", machine::shown(text),
          found != names.end() || near.empty() ? "" : fmt::format("; did you mean {}?", near)));
      continue;
    }
    const logic::FactSet fact = logic::FactSet{1} << (found - names.begin());
    reading.known |= fact;
    if (value == "true") reading.value |= fact;
  }
  if ((prove::excluded_by(reading.value) & reading.value) != 0) {
    errors.emplace_back("--assume: two of these facts are never true in one scan");
  }
  return errors.empty() ? std::optional(reading) : std::nullopt;
}

/// Written under another name and renamed when whole.
void write_whole(const std::filesystem::path& path, const std::string& text) {
  const std::filesystem::path part = path.string() + ".part";
  std::ofstream file(part, std::ios::binary);
  file << text;
  file.close();
  if (!file) throw std::runtime_error(fmt::format("cannot write {}", part.string()));
  std::filesystem::rename(part, path);
}

void write_scenarios(const Options& options, const machine::Machine& machine,
                     const prove::Proof& proof) {
  const std::filesystem::path folder(options.out);
  std::filesystem::create_directories(folder);
  const prove::ScenarioMachine scenario_machine{
      std::filesystem::relative(std::filesystem::absolute(options.file), folder).string(),
      proof.options, machine.settings.options.oxygen_sensor == settings::OxygenSensor::transmitter,
      durations_of(machine.settings), machine::sweep_L_per_min(machine.plant) > 0.0};
  for (const prove::Claim& claim : proof.claims) {
    if (!claim.script) continue;
    const std::filesystem::path path = folder / ("refuted_" + claim.interlock.id + ".yaml");
    write_whole(path, prove::scenario_of(claim, scenario_machine));
    spdlog::info("wrote {}", path.string());
  }
}

ExitStatus list(const Options& options) {
  std::string text;
  for (const prove::Interlock& each : chosen(options, {})) {
    text += paragraph(fmt::format("{:<13} {}", each.id, each.title), 0, 14);
  }
  print(text);
  return ExitStatus::all_holds;
}

prove::Proof timed_proof(const prove::Subject& subject, const prove::Durations& durations,
                         const Options& options, unsigned jobs) {
  const auto begin = std::chrono::steady_clock::now();
  prove::Proof proof = prove::prove(subject, durations, chosen(options, subject.options),
                                    {jobs, options.memory_MiB << 20, options.first_violation});
  const double s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  spdlog::info("{}: {} states in {:.2f} s, {:.2f} million scans a second",
               options_text(subject.options), proof.states, s,
               static_cast<double>(proof.scans) / s / 1e6);
  return proof;
}

/// A machine a thread: each explores better alone than many threads explore one.
std::vector<prove::Proof> proofs_of_all(const prove::Subject& common,
                                        const prove::Durations& durations, const Options& options) {
  const std::vector<logic::Options> machines = prove::all_options();
  const auto each = static_cast<unsigned>(machines.size());
  std::vector<prove::Proof> proofs(machines.size());
  std::vector<std::function<void()>> tasks;
  for (std::size_t i = 0; i < machines.size(); ++i) {
    tasks.emplace_back([&, i] {
      prove::Subject subject = common;
      subject.options = machines[i];
      proofs[i] = timed_proof(subject, durations, options, std::max(1U, options.jobs / each));
    });
  }
  Progress progress;
  parallel::run_all(tasks, options.jobs, [&](std::size_t done) {
    progress.count(done, tasks.size(), "sets of options");
  });
  return proofs;
}

ExitStatus run(const Options& options) {
  std::vector<std::string> errors = mistakes(options);
  const std::optional<prove::Reading> assumed = assumed_facts(options.assumed, errors);
  if (options.file.empty() && !options.all_options && !options.list) {
    errors.emplace_back("expected a MACHINE or --all-options");
  }
  for (const std::string& error : errors) {
    complain(error);
  }
  if (!errors.empty()) return ExitStatus::bad_input;
  if (options.list) return list(options);

  settings::Settings settings;
  std::optional<machine::Machine> machine;
  if (!options.file.empty()) {
    const machine::Loaded loaded = machine::load_file(options.file);
    if (const auto* wrong = std::get_if<std::vector<machine::Error>>(&loaded)) {
      std::fputs(error_report(*wrong, Style(stderr)).c_str(), stderr);
      return ExitStatus::bad_input;
    }
    machine = std::get<machine::Machine>(loaded);
    settings = machine->settings;
  }

  ProveResult result;
  const prove::Subject subject{controller::configure(settings).options, *assumed};
  result.assumptions = prove::assumptions(subject);
  const prove::Durations durations = durations_of(settings);
  if (options.all_options) {
    result.proofs = proofs_of_all(subject, durations, options);
  } else {
    result.machine = machine->name;
    result.proofs.push_back(timed_proof(subject, durations, options, options.jobs));
    if (!options.out.empty()) write_scenarios(options, *machine, result.proofs.front());
  }
  print(options.json ? prove_json(result) : prove_report(result, Style(stdout)));
  return result.all_hold() ? ExitStatus::all_holds : ExitStatus::failed;
}

}  // namespace

void add_prove_command(CLI::App& app, Chosen& chosen_command) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      app.add_subcommand("prove", "prove every interlock over all orders of events");
  command->add_option("MACHINE", options->file, "machine file (YAML)");
  command->add_flag("--all-options", options->all_options,
                    "every combination of options that can be ordered, with the\n"
                    "durations of MACHINE or of the default settings");
  command->add_option("--property", options->ids, "only this interlock, by its id; may be repeated")
      ->allow_extra_args(false);
  command
      ->add_option("--formula", options->claims,
                   "prove this property (docs/properties.md); may be repeated")
      ->allow_extra_args(false);
  command
      ->add_option("--assume", options->assumed,
                   "FACT=true or FACT=false: explore only what can happen\n"
                   "while this fact never changes; may be repeated")
      ->allow_extra_args(false);
  command->add_flag("--list", options->list, "list the interlocks and stop");
  command->add_option("--out", options->out,
                      "write each counterexample as a scenario into this folder");
  command
      ->add_option("--jobs", options->jobs,
                   "threads; the result does not depend on it [one a\n"
                   "processor]")
      ->check(CLI::Range(1, 1024));
  command
      ->add_option("--max-memory", options->memory_MiB,
                   "memory for the states of one machine, MiB; when it is\n"
                   "used up the result is partial and says so")
      ->check(CLI::Range(1, 1 << 20))
      ->capture_default_str();
  command->add_flag("--first-violation", options->first_violation,
                    "stop once an interlock is refuted: its counterexample\n"
                    "is the same, and what is not refuted by then is OPEN");
  command->add_flag("--json", options->json, "print one JSON object instead of text");
  command->footer(
      "Explores every state that the controller's logic can reach. In every scan\n"
      "every fact may be true or false: sensors, buttons and delays are free.\n"
      "An interlock is PROVED if it holds in all these scans. It is REFUTED, with\n"
      "the shortest run that breaks it, if it does not. It is VACUOUS if its\n"
      "condition never occurs. At the end the prover checks that a healthy oven\n"
      "comes to rest from every state.\n"
      "\n"
      "Examples:\n"
      "  ovenproof prove scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof prove --all-options\n"
      "  ovenproof prove --property REQ-HEAT-01 scenarios/machines/coil_anneal_300.yaml\n"
      "  ovenproof prove --formula 'never (command.fan and not fact.door_closed)' \\\n"
      "    scenarios/machines/coil_anneal_300.yaml\n"
      "\n"
      "Exit status: 0 all proved; 1 something refuted, vacuous, dead, stuck or left\n"
      "open; 2 a file or the command is wrong; 3 internal fault.\n"
      "\n"
      "Caution: this is proved of the logic. That facts say what is so is for sensors,\n"
      "wiring and conditioning.");
  command->callback(
      [options, &chosen_command] { chosen_command = [options] { return run(*options); }; });
}

}  // namespace ovenproof::app
