#include "sim/app/campaign_file_commands.hpp"

#include <cstdio>
#include <memory>
#include <stdexcept>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "sim/app/campaign_csv.hpp"
#include "sim/app/campaign_report.hpp"
#include "sim/app/campaign_run.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/digest/sha256.hpp"
#include "sim/evidence/origin.hpp"
#include "sim/machine/load.hpp"
#include "sim/rig/part_file.hpp"

namespace ovenproof::app {
namespace {

using campaign_store::Stored;
using campaign_store::StoreError;

struct ReportOptions {
  std::string file;
  bool json = false;
  std::string csv;
};

struct MergeOptions {
  std::string out;
  std::vector<std::string> parts;
  bool json = false;
};

/// The machine that the file holds. Refuses one whose text is not what its hash says.
machine::Machine machine_of(const Stored& stored, const std::string& path) {
  std::vector<std::string> lines;
  if (digest::sha256(stored.inputs.machine_text) != stored.inputs.machine_sha256) {
    lines.push_back(fmt::format("{}: the machine file in it does not have its SHA-256", path));
  }
  const std::string name = fmt::format("{}: machine file {}", path, stored.inputs.machine);
  machine::Loaded loaded = machine::load_text(stored.inputs.machine_text, name);
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&loaded)) {
    for (const machine::Error& error : *errors) lines.push_back(machine::to_text(error));
  }
  if (!lines.empty()) throw StoreError(StoreError::Kind::unusable, lines);
  return std::get<machine::Machine>(std::move(loaded));
}

ExitStatus report(const ReportOptions& options) {
  try {
    const Stored stored = campaign_store::read(options.file);
    if (stored.inputs.build != evidence::program_sources) {
      spdlog::warn("{} was made by another build of this program", options.file);
    }
    if (options.csv.empty()) return report_stored(stored, options.file, options.json);
    const machine::Machine machine = machine_of(stored, options.file);
    const CampaignView view{machine, stored.plan, stored.results};
    rig::PartFile csv(options.csv);
    campaign_csv(view, csv.stream());
    csv.finish();
    spdlog::info("wrote {}", options.csv);
    return campaign_accepted(view) ? ExitStatus::all_holds : ExitStatus::failed;
  } catch (const StoreError& error) {
    return report_store_error(error);
  } catch (const std::runtime_error& error) {
    complain(fmt::format("{}", error.what()));
    return ExitStatus::bad_input;
  }
}

ExitStatus merge(const MergeOptions& options) {
  try {
    const std::vector<std::filesystem::path> parts(options.parts.begin(), options.parts.end());
    const Stored whole = campaign_store::merge(options.out, parts);
    spdlog::info("wrote {}: {} results of {} parts", options.out, whole.results.size(),
                 parts.size());
    return report_stored(whole, options.out, options.json);
  } catch (const StoreError& error) {
    return report_store_error(error);
  }
}

}  // namespace

ExitStatus report_stored(const Stored& stored, const std::string& path, bool json) {
  const machine::Machine machine = machine_of(stored, path);
  const CampaignView view{machine, stored.plan, stored.results};
  const campaign_store::Shard shard = stored.inputs.shard;
  const bool whole = stored.complete && shard.count == 1;
  if (json) {
    print(campaign_json(view));
  } else if (whole) {
    print(campaign_report(view, Style(stdout)));
  }
  if (whole) return campaign_accepted(view) ? ExitStatus::all_holds : ExitStatus::failed;
  const std::string next = stored.complete
                               ? "`ovenproof campaign merge` joins the shards and judges the whole"
                               : "its run was interrupted: --resume goes on with it";
  const std::string text = fmt::format(
      "{}: {} of {} injections, shard {} of {}; {}", machine::shown(path, 1000),
      stored.results.size(), stored.plan.injections.size(), shard.index, shard.count, next);
  if (json) {
    spdlog::warn("{}", text);
  } else {
    print(paragraph(text));
  }
  return ExitStatus::all_holds;
}

void add_campaign_file_commands(CLI::App& campaign, Chosen& chosen_command) {
  const auto shown = std::make_shared<ReportOptions>();
  CLI::App* report_command =
      campaign.add_subcommand("report", "print what a campaign's file holds, without running it");
  report_command->add_option("FILE", shown->file, "file of a campaign (--out)")->required();
  CLI::Option* json =
      report_command->add_flag("--json", shown->json, "print one JSON object instead of text");
  report_command
      ->add_option("--csv", shown->csv, "write every result as comma-separated values instead")
      ->type_name("FILE")
      ->excludes(json);
  report_command->callback(
      [shown, &chosen_command] { chosen_command = [shown] { return report(*shown); }; });

  const auto joined = std::make_shared<MergeOptions>();
  CLI::App* merge_command =
      campaign.add_subcommand("merge", "join the shards of a campaign (--shard)");
  merge_command->add_option("OUT", joined->out, "file to be made")->required();
  merge_command->add_option("PART", joined->parts, "files of all shards, in any order")->required();
  merge_command->add_flag("--json", joined->json, "print one JSON object instead of text");
  merge_command->callback(
      [joined, &chosen_command] { chosen_command = [joined] { return merge(*joined); }; });
}

}  // namespace ovenproof::app
