#include "sim/app/evidence_run.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <optional>
#include <sstream>
#include <stdexcept>

#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "firmware/controller/configuration.hpp"
#include "sim/app/campaign_report.hpp"
#include "sim/app/campaign_run.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/progress.hpp"
#include "sim/app/prove_durations.hpp"
#include "sim/app/prove_report.hpp"
#include "sim/app/run_report.hpp"
#include "sim/app/scenario_files.hpp"
#include "sim/app/scenario_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/campaign/campaign.hpp"
#include "sim/campaign_store/stored.hpp"
#include "sim/evidence/document.hpp"
#include "sim/evidence/input_tree.hpp"
#include "sim/evidence/pack.hpp"
#include "sim/evidence/page.hpp"
#include "sim/machine/load.hpp"
#include "sim/rig/trace_csv.hpp"
#include "sim/scenario/oven_bank.hpp"
#include "sim/sizing/size.hpp"

namespace ovenproof::app {
namespace {

namespace fs = std::filesystem;
using evidence::Findings;
using evidence::PackWriter;

/// What is to be worked on, read and checked.
struct Inputs {
  machine::Machine machine;
  std::optional<evidence::ScenarioFinding> scenarios;  ///< without results
  std::vector<evidence::ListedFile> files;
};

/// The scenarios that are of this machine; others are counted.
evidence::ScenarioFinding of_machine(std::vector<scenario::Item> items,
                                     const std::string& machine) {
  evidence::ScenarioFinding finding;
  for (scenario::Item& item : items) {
    if (!std::holds_alternative<scenario::Case>(item.what)) continue;
    std::error_code failure;
    if (fs::equivalent(item.oven().machine.path, machine, failure)) {
      finding.items.push_back(std::move(item));
    } else {
      ++finding.of_other_machines;
    }
  }
  return finding;
}

void add_input(std::vector<evidence::ListedFile>& files, const std::string& path) {
  const auto same = [&path](const evidence::ListedFile& each) {
    return fs::path(each.path).lexically_normal() == fs::path(path).lexically_normal();
  };
  if (std::any_of(files.begin(), files.end(), same)) return;
  files.push_back({path, digest::digest_of(path)});
}

/// From the working folder, so that a copy of the tree can be worked on elsewhere.
std::string from_here(const std::string& path) {
  const fs::path given(path);
  return given.is_absolute() ? given.lexically_proximate(fs::current_path()).string() : path;
}

/// Nothing, and everything that is wrong told, if a file is.
std::optional<Inputs> read_inputs(const EvidenceArguments& arguments) {
  std::vector<machine::Error> errors;
  Inputs inputs;
  machine::Loaded loaded = machine::load_file(arguments.machine);
  if (auto* wrong = std::get_if<std::vector<machine::Error>>(&loaded)) {
    errors = std::move(*wrong);
  } else {
    inputs.machine = std::get<machine::Machine>(std::move(loaded));
    add_input(inputs.files, arguments.machine);
  }
  if (!arguments.scenarios.empty()) {
    Found found = find_items(arguments.scenarios, {});
    errors.insert(errors.end(), found.errors.begin(), found.errors.end());
    if (errors.empty()) {
      // Those of other machines count, too: the pack says how many there are.
      for (const scenario::Item& item : found.items) {
        add_input(inputs.files, item.file());
        add_input(inputs.files, item.oven().machine.path);
      }
      inputs.scenarios = of_machine(std::move(found.items), arguments.machine);
    }
  }
  if (errors.empty()) return inputs;
  std::fputs(error_report(errors, Style(stderr)).c_str(), stderr);
  return std::nullopt;
}

evidence::CycleFinding run_cycles(const EvidenceArguments& arguments, const rig::Oven& oven,
                                  PackWriter& pack) {
  evidence::CycleFinding finding;
  finding.plan.cycles = arguments.cycles;
  evidence::TrendRecorder trends;
  rig::TraceCsv trace(pack.path_of("cycle.csv"), arguments.trace_every_ms);
  finding.result = cycle::run(oven, finding.plan,
                              [&](const rig::Rig& rig) {
                                trace.observe(rig);
                                trends.observe(rig);
                              },
                              {});
  trace.finish();
  finding.trends = std::move(trends).finish();
  return finding;
}

evidence::ProofFinding run_proof(const EvidenceArguments& arguments,
                                 const settings::Settings& settings) {
  const prove::Subject subject{controller::configure(settings).options, {}};
  return {prove::prove(subject, durations_of(settings), prove::interlocks(subject.options),
                       {arguments.jobs, arguments.memory_MiB << 20}),
          prove::assumptions(subject)};
}

evidence::CampaignFinding new_campaign(const EvidenceArguments& arguments,
                                       const machine::Machine& machine) {
  campaign::Campaign campaign(scenario::make_oven(machine), arguments.plan);
  evidence::CampaignFinding finding;
  finding.options = arguments.plan;
  const auto every = [](const campaign::Mode&) { return true; };
  finding.results = run_campaign(campaign, every, arguments.pairs, arguments.jobs);
  finding.plan = campaign.plan();
  return finding;
}

/// What the file keeps, and what is asked for of it. Throws StoreError unless it is the whole
/// campaign of this machine file by this program.
evidence::CampaignFinding kept_campaign(EvidenceArguments& arguments,
                                        const machine::Machine& machine) {
  using campaign_store::StoreError;
  campaign_store::Stored stored = campaign_store::read(arguments.campaign_file);
  const campaign::Campaign campaign(scenario::make_oven(machine), stored.inputs.options);
  std::vector<std::string> wrong =
      differences(stored.inputs, inputs_of(campaign, arguments.machine, stored.inputs.pairs, {}));
  if (!stored.complete) wrong.emplace_back("the campaign is not complete");
  if (stored.inputs.shard.count != 1) wrong.emplace_back("it is one part of several");
  if (!wrong.empty()) {
    wrong.insert(wrong.begin(), arguments.campaign_file + ": not the campaign to be shown");
    throw StoreError(StoreError::Kind::unusable, wrong);
  }
  arguments.campaign = true;
  arguments.pairs = stored.inputs.pairs;
  arguments.plan = stored.inputs.options;
  return {stored.inputs.options, std::move(stored.plan), std::move(stored.results)};
}

std::string text_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  if (!file) throw std::runtime_error(fmt::format("cannot read {}", path));
  return text.str();
}

/// "--out 'my pack'": as a shell takes it.
std::string quoted(const std::string& word) {
  if (word.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
                             "-_./=,:+@%") == std::string::npos &&
      !word.empty()) {
    return word;
  }
  std::string text = "'";
  for (const char c : word) text += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return text + "'";
}

std::string command_line(const std::vector<std::string>& arguments) {
  std::string text = "ovenproof";
  for (const std::string& each : arguments) text += ' ' + quoted(each);
  return text + " --out DIR";
}

/// What is told at the terminal; the page has the rest.
void report(const EvidenceArguments& arguments, const MadePack& made) {
  const evidence::Summary& summary = made.summary;
  const Style style(stdout);
  std::string text = style.heading(paragraph(made.machine)) + "  ";
  const std::string verdict = summary.verdict + '\n';
  text += !summary.refuted.empty()    ? style.error(verdict)
          : !summary.accepted.empty() ? style.warning(verdict)
                                      : style.good(verdict);
  const auto list = [&text, &style](const char* heading, const std::vector<std::string>& words) {
    if (words.empty()) return;
    text += "\n" + style.heading(heading) + "\n";
    for (const std::string& each : words) text += paragraph("- " + each, 2, 4);
  };
  list("Refuted", summary.refuted);
  list("Hazardous, and accepted", summary.accepted);
  list("Shown", summary.shown);
  list("Not covered", summary.not_covered);
  text += "\n" + style.heading("The pack") + "\n";
  const fs::path folder(arguments.out);
  text += fmt::format("  {}  the page; open it in a browser\n", (folder / "index.html").string());
  text += fmt::format("  {}  hashes of all that went in and came out\n",
                      (folder / evidence::manifest_name).string());
  print(text + "\n" + paragraph("Caution: " + std::string(caution)));
}

MadePack work(const EvidenceArguments& arguments, Inputs inputs, Findings findings,
              PackWriter& pack) {
  findings.machine = std::move(inputs.machine);
  const rig::Oven oven{findings.machine.plant, findings.machine.settings, {}, {}};
  evidence::Making making;
  const std::vector<std::string> replay = replay_arguments(arguments);
  making.command = command_line(replay);
  making.stated_date = arguments.date;
  making.caution = caution;
  const auto add = [&](const char* name, const char* what, const std::string& text) {
    pack.add(name, text);
    making.files.push_back({name, what});
  };

  spdlog::info("sizing");
  sizing::Options sizing_options;
  sizing_options.jobs = arguments.jobs;
  findings.sizing = sizing::size(findings.machine, sizing_options);
  spdlog::info("running {} cycles", arguments.cycles);
  findings.cycle = run_cycles(arguments, oven, pack);
  making.files.push_back({"cycle.csv", "every probe of the cycles, RFC 4180"});
  add("cycle.json", "figures, hazards and events of the cycles",
      run_json(findings.machine, findings.cycle->result));

  if (inputs.scenarios) {
    findings.scenarios = std::move(inputs.scenarios);
    evidence::ScenarioFinding& all = *findings.scenarios;
    spdlog::info("playing {} of this machine", counted(all.items.size(), "case"));
    scenario::SuiteOptions options;
    options.jobs = arguments.jobs;
    Progress progress;
    all.results =
        scenario::run_suite(all.items, options, [&progress](const scenario::SuiteProgress& p) {
          progress.count(p.done, p.total, "cases");
        });
    const SuiteRun run{all.items, all.results};
    add("scenarios.json", "every case with what was expected and how it came out",
        suite_json(run, true));
    add("junit.xml", "the same as JUnit XML", suite_junit(run));
  }
  if (arguments.prove) {
    spdlog::info("proving the interlocks");
    findings.proof = run_proof(arguments, findings.machine.settings);
    add("proof.json", "the proof, with every counterexample scan by scan",
        prove_json({findings.machine.name, {findings.proof->proof}, findings.proof->assumptions}));
  }
  if (arguments.campaign && !findings.campaign) {
    spdlog::info("injecting failure modes");
    try {
      findings.campaign = new_campaign(arguments, findings.machine);
    } catch (const std::runtime_error& error) {
      // An oven that does not come through its own cycles: the pack says so, and has no campaign.
      spdlog::warn("no failure modes were injected: {}", error.what());
    }
  }
  if (findings.campaign) {
    add("campaign.json", "every failure mode and every injection",
        campaign_json({findings.machine, findings.campaign->plan, findings.campaign->results}));
  }
  add("machine.yaml", "the machine file", text_of(arguments.machine));
  const evidence::InputTree tree(inputs.files);
  for (const evidence::ListedFile& each : inputs.files) {
    if (const std::string place = tree.place_of(each.path); !place.empty()) {
      pack.add(place, text_of(each.path));
    }
  }
  making.files.push_back({evidence::inputs_folder, "all files that the pack was made from"});
  making.files.push_back({"evidence.json", "everything that this page shows"});

  const evidence::Document document = evidence::document(findings, making);
  pack.add("evidence.json", document.text);
  pack.add("index.html", evidence::page("Evidence: " + findings.machine.name, document.text));
  evidence::Manifest manifest;
  manifest.command = making.command;
  manifest.arguments = replay;
  manifest.stated_date = arguments.date;
  manifest.inputs = std::move(inputs.files);
  pack.finish(std::move(manifest));
  return {findings.machine.name, document.summary};
}

}  // namespace

std::vector<std::string> replay_arguments(const EvidenceArguments& arguments) {
  const EvidenceArguments usual;
  std::vector<std::string> words{"evidence"};
  const auto add = [&words](const char* option, std::string value) {
    words.emplace_back(option);
    words.push_back(std::move(value));
  };
  for (const std::string& each : arguments.scenarios) add("--scenarios", each);
  if (arguments.cycles != usual.cycles) add("--cycles", std::to_string(arguments.cycles));
  if (arguments.trace_every_ms != usual.trace_every_ms) {
    add("--trace-every", std::to_string(arguments.trace_every_ms));
  }
  if (!arguments.campaign_file.empty()) {  // which says the rest
    add("--campaign-file", arguments.campaign_file);
  } else {
    if (arguments.campaign) words.emplace_back("--campaign");
    if (arguments.pairs) words.emplace_back("--pairs");
    if (arguments.plan.instants != usual.plan.instants) {
      add("--instants", std::to_string(arguments.plan.instants));
    }
    if (arguments.plan.seed != usual.plan.seed) add("--seed", std::to_string(arguments.plan.seed));
  }
  if (!arguments.prove) words.emplace_back("--no-proof");
  if (arguments.memory_MiB != usual.memory_MiB) {
    add("--max-memory", std::to_string(arguments.memory_MiB));
  }
  if (!arguments.date.empty()) add("--date", arguments.date);
  words.push_back(arguments.machine);
  return words;
}

std::optional<MadePack> write_pack(EvidenceArguments arguments) {
  arguments.machine = from_here(arguments.machine);
  for (std::string& each : arguments.scenarios) each = from_here(each);
  if (!arguments.campaign_file.empty())
    arguments.campaign_file = from_here(arguments.campaign_file);
  std::optional<Inputs> inputs = read_inputs(arguments);
  std::optional<PackWriter> pack;
  Findings findings;
  try {
    if (inputs) {
      const rig::Rig can_be_stepped({inputs->machine.plant, inputs->machine.settings, {}, {}});
    }
    evidence::check_replaceable(arguments.out);
    if (inputs && !arguments.campaign_file.empty()) {
      findings.campaign = kept_campaign(arguments, inputs->machine);
      add_input(inputs->files, arguments.campaign_file);
    }
    if (inputs) pack.emplace(arguments.out);
  } catch (const campaign_store::StoreError& error) {
    report_store_error(error);
    return std::nullopt;
  } catch (const std::exception& error) {
    complain(error.what());
    return std::nullopt;
  }
  if (!inputs) return std::nullopt;
  return work(arguments, std::move(*inputs), std::move(findings), *pack);
}

ExitStatus make_evidence(const EvidenceArguments& arguments) {
  const std::optional<MadePack> made = write_pack(arguments);
  if (!made) return ExitStatus::bad_input;
  report(arguments, *made);
  return made->summary.refuted.empty() ? ExitStatus::all_holds : ExitStatus::failed;
}

}  // namespace ovenproof::app
