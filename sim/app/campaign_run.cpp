#include "sim/app/campaign_run.hpp"

#include <cstdio>
#include <stdexcept>
#include <variant>

#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include "sim/app/progress.hpp"
#include "sim/app/terminal.hpp"
#include "sim/digest/sha256.hpp"
#include "sim/evidence/origin.hpp"
#include "sim/machine/error.hpp"
#include "sim/machine/text_file.hpp"

namespace ovenproof::app {
namespace {

using campaign::Result;

/// The results so far, by number; those that are not there say so.
class Results {
 public:
  void take(const Result& result) {
    if (results_.size() <= result.number) results_.resize(result.number + 1);
    results_[result.number] = result;
    if (there_.size() <= result.number) there_.resize(result.number + 1);
    there_[result.number] = true;
  }
  [[nodiscard]] bool has(std::uint64_t number) const {
    return number < there_.size() && there_[number];
  }
  /// By number; without those that are not there.
  [[nodiscard]] std::vector<Result> list() const {
    std::vector<Result> found;
    for (std::uint64_t i = 0; i < results_.size(); ++i) {
      if (there_[i]) found.push_back(results_[i]);
    }
    return found;
  }

 private:
  std::vector<Result> results_;
  std::vector<bool> there_;
};

/// Runs those of the injections from `first` to `end` that are wanted and not there.
template <class Wanted, class Keep>
void run_missing(const campaign::Campaign& campaign, std::uint64_t first, std::uint64_t end,
                 const char* what, unsigned jobs, Results& results, const Wanted& wanted,
                 const Keep& keep) {
  std::vector<std::uint64_t> numbers;
  for (std::uint64_t i = first; i < end; ++i) {
    if (wanted(i) && !results.has(i)) numbers.push_back(i);
  }
  std::size_t done = 0;
  Progress progress;
  campaign.run(numbers, jobs, [&](const Result& result) {
    results.take(result);
    keep(result);
    progress.count(++done, numbers.size(), what);
    return true;
  });
  spdlog::info("{} {} in {:.1f} s", done, what, progress.seconds());
}

}  // namespace

std::vector<Result> run_campaign(campaign::Campaign& campaign, const WantedMode& wanted, bool pairs,
                                 unsigned jobs) {
  Results results;
  const auto mine = [&](std::uint64_t number) {
    const campaign::Plan& plan = campaign.plan();
    return wanted(plan.modes[plan.injections[number].mode]);
  };
  const auto keep = [](const Result&) {};
  const std::uint64_t singles = campaign.plan().singles;
  run_missing(campaign, 0, singles, "injections", jobs, results, mine, keep);
  if (pairs) {
    campaign.add_pairs(results.list());
    run_missing(campaign, singles, campaign.plan().injections.size(), "pairs", jobs, results, mine,
                keep);
  }
  return results.list();
}

void run_campaign_into(campaign_store::WorkingFile& file, campaign::Campaign& campaign, bool pairs,
                       campaign_store::Shard shard, unsigned jobs) {
  Results results;
  for (const Result& each : file.found()) results.take(each);
  if (!file.found().empty()) spdlog::info("{} results were there", file.found().size());
  const auto keep = [&](const Result& result) { file.add(result); };
  const auto mine = [&](std::uint64_t number) { return shard.holds(number); };
  const std::uint64_t singles = campaign.plan().singles;
  // What is paired follows from every single failure, whoever keeps its result.
  run_missing(
      campaign, 0, singles, "injections", jobs, results,
      [&](std::uint64_t number) { return pairs || mine(number); }, keep);
  if (pairs) {
    const std::vector<Result> there = results.list();
    campaign.add_pairs(std::span(there).first(singles));
    file.add_pairs(campaign.plan());
    run_missing(campaign, singles, campaign.plan().injections.size(), "pairs", jobs, results, mine,
                keep);
  }
  file.finish();
}

campaign_store::Inputs inputs_of(const campaign::Campaign& campaign,
                                 const std::string& machine_file, bool pairs,
                                 campaign_store::Shard shard) {
  auto text = machine::read_text_file(machine_file);
  if (const auto* error = std::get_if<machine::Error>(&text)) {
    throw std::runtime_error(machine::to_text(*error));
  }
  campaign_store::Inputs inputs;
  inputs.machine = campaign.nominal().oven().machine_name;
  inputs.machine_text = std::move(std::get<std::string>(text));
  inputs.machine_sha256 = digest::sha256(inputs.machine_text);
  inputs.inputs_sha256 = digest::sha256(
      campaign::inputs_text(campaign.plan(), campaign.nominal().oven(), campaign.options()));
  inputs.build = evidence::program_sources;
  inputs.options = campaign.options();
  inputs.pairs = pairs;
  inputs.shard = shard;
  return inputs;
}

ExitStatus report_store_error(const campaign_store::StoreError& error) {
  for (const std::string& line : error.lines()) {
    complain(machine::shown(line, 1000));
  }
  return error.kind() == campaign_store::StoreError::Kind::unusable ? ExitStatus::bad_input
                                                                    : ExitStatus::internal_fault;
}

}  // namespace ovenproof::app
