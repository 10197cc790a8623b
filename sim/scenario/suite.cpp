#include "sim/scenario/suite.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <map>
#include <memory>
#include <mutex>
#include <optional>

#include <boost/asio/post.hpp>
#include <boost/asio/thread_pool.hpp>
#include <fmt/format.h>

#include "sim/cycle/run.hpp"
#include "sim/rig/trace_csv.hpp"
#include "sim/rig/trace_vcd.hpp"
#include "sim/scenario/checkpoint.hpp"
#include "sim/scenario/play.hpp"

namespace ovenproof::scenario {
namespace {

constexpr std::size_t told_events = 12;

/// The trace of one case, if one is wanted.
class Trace {
 public:
  Trace(const Item& item, const SuiteOptions& options) {
    const std::filesystem::path stem = options.out / file_name_of(item.name());
    if (options.trace == TraceFormat::csv) {
      csv_ = std::make_unique<rig::TraceCsv>(stem.string() + ".csv", options.trace_every_ms);
    } else if (options.trace == TraceFormat::vcd) {
      vcd_ = std::make_unique<rig::TraceVcd>(stem.string() + ".vcd", options.trace_every_ms);
    }
  }

  [[nodiscard]] Observer observer() {
    if (csv_) return [this](const rig::Rig& rig) { csv_->observe(rig); };
    if (vcd_) return [this](const rig::Rig& rig) { vcd_->observe(rig); };
    return {};
  }

  void finish() {
    if (csv_) csv_->finish();
    if (vcd_) vcd_->finish();
  }

 private:
  std::unique_ptr<rig::TraceCsv> csv_;
  std::unique_ptr<rig::TraceVcd> vcd_;
};

CaseResult run_machine(const MachineRun& machine, const Observer& observer) {
  CaseResult result;
  const cycle::RunResult run = cycle::run(machine.oven->oven, machine.plan,
                                          [&](const rig::Rig& rig) {
                                            result.coverage.observe(rig);
                                            if (observer) observer(rig);
                                          },
                                          {});
  result.ended_ms = static_cast<std::uint64_t>(run.simulated_s * 1000.0 + 0.5);
  if (!run.gave_up.empty()) result.problems.push_back(run.gave_up);
  if (run.started_by_itself.value_or(false)) {
    result.problems.emplace_back("something was energised by itself after the abnormal opening");
  }
  if (!result.problems.empty()) result.failed_ms = result.ended_ms;
  for (const hazards::HazardVerdict& each : run.hazards) {
    result.hazards.push_back({each, run.waived(each) ? std::string(run.waiver->reason) : ""});
    if (each.first_ms && !result.hazards.back().fine()) {
      result.failed_ms = std::min(result.failed_ms.value_or(*each.first_ms), *each.first_ms);
    }
  }
  if (result.failed_ms) {
    for (const cycle::Event& event : run.events) {
      if (event.ms <= *result.failed_ms) result.events.push_back(event);
    }
    if (result.events.size() > told_events) {
      result.events.erase(result.events.begin(),
                          result.events.end() - static_cast<std::ptrdiff_t>(told_events));
    }
  }
  return result;
}

/// Cases of one oven: those with one start begin from copies of one checkpoint.
struct Group {
  const OvenContext* oven = nullptr;
  std::vector<Start> starts;
  std::vector<std::vector<std::size_t>> items;  ///< of each start
};

std::vector<Group> grouped(const std::vector<Item>& items) {
  std::vector<Group> groups;
  std::map<const OvenContext*, std::size_t> known;
  for (std::size_t i = 0; i < items.size(); ++i) {
    const auto* one = std::get_if<Case>(&items[i].what);
    if (one == nullptr) continue;
    const auto [at, fresh] = known.emplace(one->oven.get(), groups.size());
    if (fresh) groups.push_back({one->oven.get(), {}, {}});
    Group& group = groups[at->second];
    const auto start = std::find(group.starts.begin(), group.starts.end(), one->start);
    const auto index = static_cast<std::size_t>(start - group.starts.begin());
    if (start == group.starts.end()) {
      group.starts.push_back(one->start);
      group.items.emplace_back();
    }
    group.items[index].push_back(i);
  }
  return groups;
}

class Runner {
 public:
  Runner(const std::vector<Item>& items, const SuiteOptions& options,
         const std::function<void(const SuiteProgress&)>& progress)
      : items_(items),
        options_(options),
        progress_(progress),
        results_(items.size()),
        first_failure_(items.size()),
        pool_(options.jobs) {
    so_far_.total = items.size();
  }

  std::vector<CaseResult> run() {
    const std::vector<Group> groups = grouped(items_);
    for (const Group& group : groups) {
      post([this, &group] { run_group(group); });
    }
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (const auto* machine = std::get_if<MachineRun>(&items_[i].what)) {
        post([this, i, machine] {
          run_item(i, [&](const Observer& o) { return run_machine(*machine, o); });
        });
      }
    }
    pool_.join();
    if (thrown_) std::rethrow_exception(thrown_);
    std::vector<CaseResult> whole;
    const std::size_t count = std::min(first_failure_.load() + 1, items_.size());
    for (std::size_t i = 0; i < count; ++i) whole.push_back(std::move(*results_[i]));
    return whole;
  }

 private:
  /// Whatever a job throws ends the suite.
  template <class Job>
  void post(Job job) {
    boost::asio::post(pool_, [this, job = std::move(job)] {
      if (stopped_) return;
      try {
        job();
      } catch (...) {
        const std::lock_guard lock(mutex_);
        if (!thrown_) thrown_ = std::current_exception();
        stopped_ = true;
      }
    });
  }

  void run_group(const Group& group) {
    const auto wanted = [&](const std::vector<std::size_t>& items) {
      return items.front() <= first_failure_;
    };
    if (std::none_of(group.items.begin(), group.items.end(), wanted)) return;
    reach(*group.oven, group.starts, [&](std::size_t start, const Checkpoint& there) {
      for (const std::size_t i : group.items[start]) {
        post([this, i, there] {
          run_item(i, [&](const Observer& observer) {
            return play(std::get<Case>(items_[i].what), there, options_.fail_fast, observer);
          });
        });
      }
    });
  }

  template <class Play>
  void run_item(std::size_t i, const Play& play_it) {
    if (i > first_failure_) return;
    Trace trace(items_[i], options_);
    CaseResult result = play_it(trace.observer());
    trace.finish();
    const bool passed = result.passed();
    results_[i] = std::move(result);
    if (!passed && options_.fail_fast) {
      // Only ever lowered: what stands before the first failure is run whatever happens.
      std::size_t known = first_failure_;
      while (i < known && !first_failure_.compare_exchange_weak(known, i)) {
      }
    }
    const std::lock_guard lock(mutex_);
    ++so_far_.done;
    if (!passed) ++so_far_.failed;
    if (progress_) progress_(so_far_);
  }

  const std::vector<Item>& items_;
  const SuiteOptions& options_;
  const std::function<void(const SuiteProgress&)>& progress_;
  std::vector<std::optional<CaseResult>> results_;
  std::atomic<std::size_t> first_failure_;
  std::atomic<bool> stopped_ = false;
  std::mutex mutex_;
  SuiteProgress so_far_;
  std::exception_ptr thrown_;
  boost::asio::thread_pool pool_;
};

}  // namespace

const std::string& Item::file() const {
  const auto* one = std::get_if<Case>(&what);
  return one != nullptr ? one->file : std::get<MachineRun>(what).file;
}

std::string Item::name() const {
  if (const auto* one = std::get_if<Case>(&what)) return one->name;
  return std::get<MachineRun>(what).oven->machine_name + " [whole cycles]";
}

const OvenContext& Item::oven() const {
  const auto* one = std::get_if<Case>(&what);
  return one != nullptr ? *one->oven : *std::get<MachineRun>(what).oven;
}

std::vector<CaseResult> run_suite(const std::vector<Item>& items, const SuiteOptions& options,
                                  const std::function<void(const SuiteProgress&)>& progress) {
  return Runner(items, options, progress).run();
}

std::string file_name_of(const std::string& case_name) {
  std::string name = case_name;
  for (char& c : name) {
    const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                       c == '-' || c == '_' || c == '.' || c == '=';
    if (!plain) c = '_';
  }
  return name;
}

}  // namespace ovenproof::scenario
