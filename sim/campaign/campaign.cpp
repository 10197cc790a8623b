#include "sim/campaign/campaign.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <map>
#include <mutex>
#include <thread>
#include <tuple>
#include <utility>

namespace ovenproof::campaign {
namespace {

/// Injections with the same key come to the same.
using Key = std::tuple<std::uint64_t, const Realisation*, const Realisation*, std::uint64_t>;

Key key_of(std::span<const Failure> failures) {
  const Failure& last = failures.back();
  return {failures.front().scan, failures.front().realisation, last.realisation, last.scan};
}

Result never_met() {
  Result result;
  result.outcome = Outcome::safe_undetected;
  result.decided = Decided::never_met;
  return result;
}

/// The result of a branch as that of one injection that came to it.
Result as_result_of(const Injection& injection, const Plan& plan, Result shared,
                    std::uint32_t period_ms) {
  shared.number = injection.number;
  if (shared.decided == Decided::never_met) return shared;
  const Instant& onset =
      injection.second ? second_of(plan, injection).instant : first_of(plan, injection).instant;
  const mock::VirtualMs slept_ms = (shared.met_at - onset.scan) * period_ms;
  shared.decided_after_ms += slept_ms;
  for (HazardHit& hit : shared.hazards) hit.first_ms += slept_ms;
  return shared;
}

Result simulate(const Campaign& campaign, std::span<const Failure> failures) {
  if (failures.empty()) return never_met();
  const auto from = campaign.nominal().at(failures.front().scan);
  return run_branch(campaign.nominal(), *from, failures);
}

}  // namespace

Campaign::Campaign(std::shared_ptr<const scenario::OvenContext> oven, const PlanOptions& options)
    : options_(options), nominal_(std::move(oven)), plan_(make_plan(nominal_, options)) {}

std::vector<Failure> Campaign::failures(const Injection& injection) const {
  const Part first = first_of(plan_, injection);
  const std::uint64_t first_met = meets(first.realisation, first.instant.scan, nominal_);
  if (!injection.second) {
    if (first_met >= nominal_.scans()) return {};
    return {{&first.mode, &first.realisation, first_met}};
  }
  const Part second = second_of(plan_, injection);
  // Beside a first failure that is awake the oven does not follow the nominal run: the second
  // begins when it begins.
  const bool asleep = first_met >= second.instant.scan;
  const std::uint64_t second_met =
      asleep ? std::min(first_met, meets(second.realisation, second.instant.scan, nominal_))
             : second.instant.scan;
  if (second_met >= nominal_.scans()) return {};
  return {{&first.mode, &first.realisation, std::min(first_met, second_met)},
          {&second.mode, &second.realisation, second_met}};
}

void Campaign::run(std::span<const std::uint64_t> numbers, unsigned jobs, const Sink& sink) const {
  struct Group {
    std::vector<Failure> failures;
    std::vector<std::uint64_t> numbers;
  };
  std::vector<Group> groups;
  std::map<Key, std::size_t> known;
  for (const std::uint64_t number : numbers) {
    std::vector<Failure> failures = this->failures(plan_.injections.at(number));
    const Key key = failures.empty() ? Key{} : key_of(failures);
    const auto [place, fresh] = known.emplace(key, groups.size());
    if (fresh) groups.push_back({std::move(failures), {}});
    groups[place->second].numbers.push_back(number);
  }

  std::atomic<std::size_t> next = 0;
  std::mutex mutex;
  std::exception_ptr failed;
  const auto work = [&] {
    try {
      while (true) {
        const std::size_t mine = next.fetch_add(1);
        if (mine >= groups.size()) return;
        const Result shared = simulate(*this, groups[mine].failures);
        const std::lock_guard lock(mutex);
        for (const std::uint64_t number : groups[mine].numbers) {
          const Injection& injection = plan_.injections[number];
          if (!sink(as_result_of(injection, plan_, shared, nominal_.oven().period_ms))) {
            next = groups.size();
            return;
          }
        }
      }
    } catch (...) {
      const std::lock_guard lock(mutex);
      if (!failed) failed = std::current_exception();
      next = groups.size();
    }
  };
  std::vector<std::thread> threads;
  for (unsigned i = 1; i < std::min<std::size_t>(jobs, groups.size()); ++i)
    threads.emplace_back(work);
  work();
  for (std::thread& each : threads) each.join();
  if (failed) std::rethrow_exception(failed);
}

Result run_injection(const Campaign& campaign, std::uint64_t number) {
  const Injection& injection = campaign.plan().injections.at(number);
  return as_result_of(injection, campaign.plan(), simulate(campaign, campaign.failures(injection)),
                      campaign.nominal().oven().period_ms);
}

}  // namespace ovenproof::campaign
