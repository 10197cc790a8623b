#include "sim/app/campaign_command.hpp"

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "sim/app/campaign_file_commands.hpp"
#include "sim/app/campaign_report.hpp"
#include "sim/app/campaign_run.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/campaign/campaign.hpp"
#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/safety_figures.hpp"
#include "sim/campaign/scenario_text.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/suggest.hpp"
#include "sim/rig/part_file.hpp"
#include "sim/scenario/oven_bank.hpp"

namespace ovenproof::app {
namespace {

struct Options {
  std::string file;
  std::vector<std::string> modes;  ///< ids or components; none: all
  bool list = false;
  bool pairs = false;
  bool json = false;
  unsigned jobs = std::max(1U, std::thread::hardware_concurrency());
  campaign::PlanOptions plan;
  std::vector<std::string> save;  ///< number and file
  std::string out;
  bool resume = false;
  std::string shard;  ///< as written: K/N
};

/// "2/8"; nothing if it is not of that form or out of range.
std::optional<campaign_store::Shard> shard_of(const std::string& text) {
  if (text.empty()) return campaign_store::Shard{};
  campaign_store::Shard shard;
  const char* const end = text.data() + text.size();
  const auto [slash, failure] = std::from_chars(text.data(), end, shard.index);
  if (failure != std::errc() || slash == end || *slash != '/') return std::nullopt;
  const auto [rest, wrong] = std::from_chars(slash + 1, end, shard.count);
  const bool good = wrong == std::errc() && rest == end && shard.index >= 1 &&
                    shard.index <= shard.count && shard.count <= campaign_store::most_shards;
  return good ? std::optional(shard) : std::nullopt;
}

/// Mistakes in the command, all at once.
std::vector<std::string> mistakes(const Options& options) {
  std::vector<std::string> errors;
  if (options.file.empty()) {
    errors.emplace_back("expected a MACHINE, or one of the commands report and merge");
  }
  if (!shard_of(options.shard)) {
    errors.push_back(fmt::format("--shard: expected K/N with 1 <= K <= N <= {}, found {}",
                                 campaign_store::most_shards, machine::shown(options.shard)));
  }
  if (options.out.empty() && !options.shard.empty()) {
    errors.emplace_back("--shard needs --out FILE: a part is of use only where it is kept");
  }
  if (options.out.empty() && options.resume) errors.emplace_back("--resume needs --out FILE");
  if (!options.out.empty() && (options.list || !options.save.empty())) {
    errors.emplace_back("--out goes neither with --list nor with --save");
  }
  if (!options.out.empty() && !options.modes.empty()) {
    errors.emplace_back("--out keeps whole campaigns: it does not go with --mode");
  }
  return errors;
}

/// Names of modes and components that the plan does not have.
std::vector<std::string> unknown_modes(const Options& options, const campaign::Plan& plan) {
  std::vector<std::string> known;
  for (const campaign::Mode& mode : plan.modes) {
    known.push_back(mode.id);
    known.push_back(mode.component);
  }
  std::vector<std::string> errors;
  for (const std::string& name : options.modes) {
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    const std::string near = machine::nearest(name, known);
    errors.push_back(fmt::format("--mode: there is no failure mode {} (--list shows them){}",
                                 machine::shown(name),
                                 near.empty() ? "" : fmt::format("; did you mean {}?", near)));
  }
  return errors;
}

bool wanted(const Options& options, const campaign::Mode& mode) {
  const std::vector<std::string>& names = options.modes;
  return names.empty() || std::find(names.begin(), names.end(), mode.id) != names.end() ||
         std::find(names.begin(), names.end(), mode.component) != names.end();
}

ExitStatus run_into_file(const Options& options, campaign::Campaign& campaign) {
  const campaign_store::Shard shard = shard_of(options.shard).value();
  try {
    campaign_store::WorkingFile file(options.out,
                                     inputs_of(campaign, options.file, options.pairs, shard),
                                     campaign.plan(), options.resume);
    if (file.finished()) {
      spdlog::info("{} is complete: nothing to do", options.out);
    } else {
      run_campaign_into(file, campaign, options.pairs, shard, options.jobs);
      spdlog::info("wrote {}", options.out);
    }
    return report_stored(campaign_store::read(options.out), options.out, options.json);
  } catch (const campaign_store::StoreError& error) {
    return report_store_error(error);
  }
}

ExitStatus save(const Options& options, const campaign::Campaign& campaign) {
  std::uint64_t number = 0;
  const std::string& text = options.save[0];
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure != std::errc() || end != text.data() + text.size() ||
      number >= campaign.plan().injections.size()) {
    complain(fmt::format("--save: expected a number below {}, found {}",
                         campaign.plan().injections.size(), machine::shown(text)));
    return ExitStatus::bad_input;
  }
  const std::filesystem::path path(options.save[1]);
  const std::filesystem::path folder = std::filesystem::absolute(path).parent_path();
  const std::string machine =
      std::filesystem::relative(std::filesystem::absolute(options.file), folder).string();
  try {
    rig::PartFile file(path);
    file.stream() << campaign::scenario_of(campaign, number, machine);
    file.finish();
  } catch (const std::runtime_error& error) {
    complain(error.what());
    return ExitStatus::bad_input;
  }
  spdlog::info("wrote {}", path.string());
  return ExitStatus::all_holds;
}

ExitStatus run(const Options& options) {
  const std::vector<std::string> errors = mistakes(options);
  for (const std::string& error : errors) {
    complain(error);
  }
  if (!errors.empty()) return ExitStatus::bad_input;
  const machine::Loaded loaded = machine::load_file(options.file);
  if (const auto* wrong = std::get_if<std::vector<machine::Error>>(&loaded)) {
    std::fputs(error_report(*wrong, Style(stderr)).c_str(), stderr);
    return ExitStatus::bad_input;
  }
  const std::vector<machine::Error> wrong_remarks =
      campaign::remark_errors(std::get<machine::Machine>(loaded));
  if (!wrong_remarks.empty()) {
    std::fputs(error_report(wrong_remarks, Style(stderr)).c_str(), stderr);
    return ExitStatus::bad_input;
  }
  const auto oven = scenario::make_oven(std::get<machine::Machine>(loaded));
  std::optional<campaign::Campaign> made;
  try {
    made.emplace(oven, options.plan);
  } catch (const std::runtime_error& error) {
    complain(fmt::format("{}: {}", options.file, error.what()));
    return ExitStatus::failed;
  }
  campaign::Campaign& campaign = *made;
  const std::vector<std::string> unknown = unknown_modes(options, campaign.plan());
  for (const std::string& error : unknown) {
    complain(error);
  }
  if (!unknown.empty()) return ExitStatus::bad_input;
  if (options.list) {
    print(campaign_list(oven->machine, campaign.plan()));
    return ExitStatus::all_holds;
  }
  if (const auto wrong = campaign::safety_mistakes(oven->machine, campaign.plan());
      !wrong.empty()) {
    std::fputs(error_report(wrong, Style(stderr)).c_str(), stderr);
    return ExitStatus::bad_input;
  }
  const bool single_row = !options.save.empty() && !options.pairs;
  if (single_row) return save(options, campaign);
  if (!options.out.empty()) return run_into_file(options, campaign);
  const bool save_pair = options.pairs && !options.save.empty();
  if (save_pair) {
    const auto every = [](const campaign::Mode&) { return true; };
    campaign.add_pairs(run_campaign(campaign, every, false, options.jobs));
    return save(options, campaign);
  }
  const std::vector<campaign::Result> results = run_campaign(
      campaign, [&](const campaign::Mode& mode) { return wanted(options, mode); }, options.pairs,
      options.jobs);
  const CampaignView view{oven->machine, campaign.plan(), results};
  print(options.json ? campaign_json(view) : campaign_report(view, Style(stdout)));
  return campaign_accepted(view) ? ExitStatus::all_holds : ExitStatus::failed;
}

}  // namespace

void add_campaign_command(CLI::App& app, Chosen& chosen_command) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      app.add_subcommand("campaign", "inject every listed failure mode, judge what happens");
  command->add_option("MACHINE", options->file, "machine file (YAML)");
  command->add_flag("--list", options->list, "list the failure modes and stop");
  command
      ->add_option("--mode", options->modes,
                   "only this failure mode, or all of this component; may be\n"
                   "repeated")
      ->allow_extra_args(false);
  command
      ->add_flag("--pairs", options->pairs,
                 "then every failure that stayed unnoticed, with a second")
      ->excludes("--mode");
  command->add_option("--instants", options->plan.instants, "least number of instants a mode")
      ->check(CLI::Range(1, 10'000))
      ->capture_default_str();
  command->add_option("--seed", options->plan.seed, "of the random instants")
      ->capture_default_str();
  command
      ->add_option("--jobs", options->jobs,
                   "threads; the result does not depend on it [one a\n"
                   "processor]")
      ->check(CLI::Range(1, 1024));
  command->add_option("--save", options->save, "write injection N as a scenario into FILE and stop")
      ->type_size(2)
      ->expected(1)
      ->allow_extra_args(false)  // the machine file may follow
      ->type_name("N FILE");
  command->add_option("--out", options->out, "keep the campaign in FILE (docs/campaign-store.md)")
      ->type_name("FILE");
  command->add_flag("--resume", options->resume, "go on with what an interrupted run left of FILE");
  command->add_option("--shard", options->shard, "run only part K of N parts of the campaign")
      ->type_name("K/N");
  command->add_flag("--json", options->json, "print one JSON object instead of text")
      ->excludes("--list");
  command->footer(
      "A nominal run of three cycles is simulated once. In the first two each failure\n"
      "branches off it at the phase entries, in the middle of phases, at marks of\n"
      "temperature, oxygen and positions and at random instants, and is followed until\n"
      "its outcome is decided: the next start and ten minutes of heat, or rest after a\n"
      "trip. Most are also tried with attendants who do it otherwise. The outcome is\n"
      "what the oven did, not what the controller believed.\n"
      "\n"
      "Examples:\n"
      "  ovenproof campaign scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof campaign --list scenarios/machines/coil_anneal_300.yaml\n"
      "  ovenproof campaign MACHINE --out FILE.db --resume\n"
      "  ovenproof campaign report FILE.db --csv FILE.csv\n"
      "  ovenproof campaign MACHINE --save 1234 row.yaml && ovenproof run row.yaml\n"
      "\n"
      "Exit status: 0 every mode that ended hazardous is on the machine file's list of\n"
      "accepted ones, signed for this machine; 1 one is not; 2 a file or the command\n"
      "is wrong; 3 internal fault.\n"
      "\n"
      "Caution: what is not on the list of modes is not tried.");
  add_campaign_file_commands(*command, chosen_command);
  command->callback([options, command, &chosen_command] {
    if (command->get_subcommands().empty()) chosen_command = [options] { return run(*options); };
  });
}

}  // namespace ovenproof::app
