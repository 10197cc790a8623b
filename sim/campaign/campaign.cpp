#include "sim/campaign/campaign.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <functional>
#include <map>
#include <mutex>
#include <thread>
#include <tuple>
#include <utility>

namespace ovenproof::campaign {
namespace {

/// Injections with the same key come to the same.
using Key =
    std::tuple<std::uint64_t, const Realisation*, const Realisation*, std::uint64_t, cycle::Habit>;

Key key_of(std::span<const Failure> failures) {
  const Failure& last = failures.back();
  return {failures.front().scan, failures.front().realisation, last.realisation, last.scan,
          last.attendant};
}

Result never_met() {
  Result result;
  result.outcome = Outcome::unnoticed;
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

/// Injections that come to the same.
struct Group {
  std::vector<Failure> failures;
  std::vector<std::uint64_t> numbers;
};

/// Groups that go the same way as far as the judged failure of the first of them: the way of their
/// first failure, which is gone once for all. In the order of their judged failures.
using Trunk = std::vector<Group>;

std::vector<Trunk> trunks_of(const Campaign& campaign, std::span<const std::uint64_t> numbers) {
  std::vector<Trunk> trunks;
  std::map<Key, std::pair<std::size_t, std::size_t>> known;  // trunk, and place in it
  std::map<std::pair<std::uint64_t, const Realisation*>, std::size_t> shared;
  for (const std::uint64_t number : numbers) {
    std::vector<Failure> failures = campaign.failures(campaign.plan().injections.at(number));
    const auto [place, fresh] =
        known.emplace(failures.empty() ? Key{} : key_of(failures), std::pair(trunks.size(), 0));
    if (fresh) {
      std::size_t trunk = trunks.size();
      if (!failures.empty() && failures.front().scan < failures.back().scan) {
        const auto key = std::pair(failures.front().scan, failures.front().realisation);
        trunk = shared.emplace(key, trunk).first->second;
      }
      if (trunk == trunks.size()) trunks.emplace_back();
      place->second = {trunk, trunks[trunk].size()};
      trunks[trunk].push_back({std::move(failures), {}});
    }
    trunks[place->second.first][place->second.second].numbers.push_back(number);
  }
  for (Trunk& trunk : trunks) {
    std::ranges::stable_sort(trunk, {}, [](const Group& each) {
      return each.failures.empty() ? 0 : each.failures.back().scan;
    });
  }
  // The longest first, so that no thread is left alone with it at the end.
  std::ranges::stable_sort(trunks, std::greater{}, &Trunk::size);
  return trunks;
}

}  // namespace

Campaign::Campaign(std::shared_ptr<const scenario::OvenContext> oven, const PlanOptions& options)
    : options_(options), nominal_(std::move(oven)), plan_(make_plan(nominal_, options)) {}

std::vector<Failure> Campaign::failures(const Injection& injection) const {
  const Part first = first_of(plan_, injection);
  // With another attendant the oven does not follow the nominal run: the failure begins when it
  // begins, though it sleeps.
  if (first.instant.attendant != cycle::Habit::usual) {
    return {{&first.mode, &first.realisation, first.instant.scan, first.instant.attendant}};
  }
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
  const std::vector<Trunk> trunks = trunks_of(*this, numbers);
  std::atomic<std::size_t> next = 0;
  std::atomic<bool> stopped = false;
  std::mutex mutex;
  std::exception_ptr failed;
  const auto tell = [&](const Group& group, const Result& shared) {
    const std::lock_guard lock(mutex);
    for (const std::uint64_t number : group.numbers) {
      const Injection& injection = plan_.injections[number];
      const std::uint32_t period_ms = nominal_.oven().period_ms;
      if (!sink(as_result_of(injection, plan_, shared, period_ms))) {
        stopped = true;
        return;
      }
    }
  };
  const auto go_along = [&](const Trunk& trunk) {
    if (trunk.front().failures.empty()) return tell(trunk.front(), never_met());
    const Failure& first = trunk.front().failures.front();
    Course course(nominal_, *nominal_.at(first.scan));
    for (const Group& group : trunk) {
      if (stopped) return;
      course.go_on(group.failures.back().scan, {&first, 1});
      tell(group, run_branch(nominal_, course, group.failures, nullptr,
                             not_judged(group.failures.back())));
    }
  };
  const auto work = [&] {
    try {
      while (!stopped) {
        const std::size_t mine = next.fetch_add(1);
        if (mine >= trunks.size()) return;
        go_along(trunks[mine]);
      }
    } catch (...) {
      const std::lock_guard lock(mutex);
      if (!failed) failed = std::current_exception();
      stopped = true;
    }
  };
  std::vector<std::thread> threads;
  for (unsigned i = 1; i < std::min<std::size_t>(jobs, trunks.size()); ++i)
    threads.emplace_back(work);
  work();
  for (std::thread& each : threads) each.join();
  if (failed) std::rethrow_exception(failed);
}

HazardSet Campaign::not_judged(const Failure& failure) const {
  if (failure.attendant == cycle::Habit::usual) return {};
  const std::lock_guard lock(own_->mutex);
  const auto key = std::pair(failure.attendant, failure.scan);
  const auto known = own_->found.find(key);
  if (known != own_->found.end()) return known->second;
  return own_->found[key] = attendants_own(nominal_, failure.attendant, failure.scan);
}

Result run_injection(const Campaign& campaign, std::uint64_t number) {
  const Injection& injection = campaign.plan().injections.at(number);
  const std::vector<Failure> failures = campaign.failures(injection);
  const Nominal& nominal = campaign.nominal();
  const Result result =
      failures.empty() ? never_met()
                       : run_branch(nominal, Course(nominal, *nominal.at(failures.front().scan)),
                                    failures, nullptr, campaign.not_judged(failures.back()));
  return as_result_of(injection, campaign.plan(), result, nominal.oven().period_ms);
}

}  // namespace ovenproof::campaign
