#include "sim/app/campaign_command.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <unistd.h>
#include <vector>

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "sim/app/campaign_report.hpp"
#include "sim/app/check_report.hpp"
#include "sim/app/terminal.hpp"
#include "sim/campaign/campaign.hpp"
#include "sim/campaign/catalogue.hpp"
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
};

/// One line on standard error that is written over, if that is a terminal; else silence.
class CampaignLine {
 public:
  CampaignLine(const char* what, std::size_t total) : what_(what), total_(total) {}
  void done_one() {
    ++done_;
    if (!on_terminal_) return;
    const double wall_s = seconds();
    if (wall_s - shown_s_ < 0.2) return;
    shown_s_ = wall_s;
    const double rate = static_cast<double>(done_) / wall_s;
    fmt::print(stderr, "\r{:<78}",
               fmt::format("{} of {} {}, {:.0f} a second, {:.0f} s left", done_, total_, what_,
                           rate, static_cast<double>(total_ - done_) / rate));
  }
  ~CampaignLine() {
    if (on_terminal_ && shown_s_ > 0.0) fmt::print(stderr, "\r{:78}\r", "");
    spdlog::info("{} {} in {:.1f} s", done_, what_, seconds());
  }

 private:
  [[nodiscard]] double seconds() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - began_).count();
  }

  const char* what_;
  std::size_t total_;
  std::size_t done_ = 0;
  bool on_terminal_ = ::isatty(STDERR_FILENO) != 0;
  std::chrono::steady_clock::time_point began_ = std::chrono::steady_clock::now();
  double shown_s_ = 0.0;
};

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

/// Runs the wanted injections from that number on and adds their results, by number.
void run_all(const campaign::Campaign& campaign, std::uint64_t from, const char* what,
             const Options& options, std::vector<campaign::Result>& results) {
  const campaign::Plan& plan = campaign.plan();
  std::vector<std::uint64_t> numbers;
  for (std::uint64_t i = from; i < plan.injections.size(); ++i) {
    if (wanted(options, plan.modes[plan.injections[i].mode])) numbers.push_back(i);
  }
  CampaignLine line(what, numbers.size());
  campaign.run(numbers, options.jobs, [&](const campaign::Result& result) {
    results.push_back(result);
    line.done_one();
    return true;
  });
  std::sort(results.begin(), results.end(),
            [](const auto& a, const auto& b) { return a.number < b.number; });
}

ExitStatus save(const Options& options, const campaign::Campaign& campaign) {
  std::uint64_t number = 0;
  const std::string& text = options.save[0];
  const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failure != std::errc() || end != text.data() + text.size() ||
      number >= campaign.plan().injections.size()) {
    std::fputs(paragraph(fmt::format("ovenproof: --save: expected a number below {}, found {}",
                                     campaign.plan().injections.size(), machine::shown(text)),
                         0, 4)
                   .c_str(),
               stderr);
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
    std::fputs(paragraph(fmt::format("ovenproof: {}", error.what()), 0, 4).c_str(), stderr);
    return ExitStatus::bad_input;
  }
  spdlog::info("wrote {}", path.string());
  return ExitStatus::all_holds;
}

ExitStatus run(const Options& options) {
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
    std::fputs(
        paragraph(fmt::format("ovenproof: {}: {}", options.file, error.what()), 0, 4).c_str(),
        stderr);
    return ExitStatus::failed;
  }
  campaign::Campaign& campaign = *made;
  const std::vector<std::string> errors = unknown_modes(options, campaign.plan());
  for (const std::string& error : errors) {
    std::fputs(paragraph("ovenproof: " + error, 0, 4).c_str(), stderr);
  }
  if (!errors.empty()) return ExitStatus::bad_input;
  if (options.list) {
    print(campaign_list(oven->machine, campaign.plan()));
    return ExitStatus::all_holds;
  }
  const bool single_row = !options.save.empty() && !options.pairs;
  if (single_row) return save(options, campaign);
  std::vector<campaign::Result> results;
  run_all(campaign, 0, "injections", options, results);
  if (options.pairs) {
    campaign.add_pairs(results);
    if (!options.save.empty()) return save(options, campaign);
    run_all(campaign, campaign.plan().singles, "pairs", options, results);
  }
  const CampaignView view{oven->machine, campaign.plan(), results};
  print(options.json ? campaign_json(view) : campaign_report(view, Style(stdout)));
  return campaign_accepted(view) ? ExitStatus::all_holds : ExitStatus::failed;
}

}  // namespace

void add_campaign_command(CLI::App& app, Chosen& chosen_command) {
  const auto options = std::make_shared<Options>();
  CLI::App* command =
      app.add_subcommand("campaign", "inject every failure mode, judge what happens");
  command->add_option("MACHINE", options->file, "machine file (YAML)")->required();
  command->add_flag("--list", options->list, "list the failure modes and stop");
  command
      ->add_option("--mode", options->modes,
                   "only this failure mode, or all of this component; may be\n"
                   "repeated")
      ->allow_extra_args(false);
  command
      ->add_flag("--pairs", options->pairs,
                 "then every failure that stayed unnoticed, with a second one")
      ->excludes("--mode");
  command->add_option("--instants", options->plan.instants, "least number of instants a mode")
      ->check(CLI::Range(1, 10'000))
      ->capture_default_str();
  command->add_option("--seed", options->plan.seed, "of the random instants")
      ->capture_default_str();
  command->add_option("--jobs", options->jobs, "threads; the result does not depend on it")
      ->check(CLI::Range(1, 1024));
  command->add_option("--save", options->save, "write injection N as a scenario into FILE and stop")
      ->expected(2)
      ->type_name("N FILE");
  command->add_flag("--json", options->json, "print one JSON object instead of text");
  command->footer(
      "A nominal run of three cycles is simulated once. In the first two each failure\n"
      "branches off it at the phase entries, in the middle of phases and at random\n"
      "instants, and is followed until its outcome is decided: the next start and ten\n"
      "minutes of heat, or rest after a trip. The outcome is what the oven did, not what\n"
      "the controller believed.\n"
      "\n"
      "Examples:\n"
      "  ovenproof campaign scenarios/machines/bronze_strip_160.yaml\n"
      "  ovenproof campaign --list scenarios/machines/coil_cure_300.yaml\n"
      "  ovenproof campaign MACHINE --save 1234 row.yaml && ovenproof run row.yaml\n"
      "\n"
      "Exit status: 0 every mode that ended hazardous is on the machine file's list of\n"
      "accepted ones; 1 one is not; 2 a file or the command is wrong; 3 internal fault.\n"
      "\n"
      "Caution: what is not on the list of modes is not tried.");
  command->callback(
      [options, &chosen_command] { chosen_command = [options] { return run(*options); }; });
}

}  // namespace ovenproof::app
