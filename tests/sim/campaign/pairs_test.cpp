#include <initializer_list>
#include <set>
#include <stdexcept>

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/campaign/branch.hpp"
#include "sim/campaign/conditions.hpp"
#include "sim/campaign/pair_findings.hpp"
#include "sim/scenario/oven_bank.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

namespace {

/// A campaign of whose single failures it is known, without running them, that the limiter's
/// sleeps, that a heater that cannot be switched off calls for the limiter, and that a welded
/// contactor, noticed, does not.
struct Small {
  Small() : campaign(scenario::make_oven(test::quick_machine()), {}) {
    for (const Injection& each : campaign.plan().injections) {
      const std::string& id = campaign.plan().modes[each.mode].id;
      Result result;
      result.number = each.number;
      result.outcome = Outcome::noticed;
      if (id == "limiter.fails_to_trip") {
        result.outcome = Outcome::unnoticed;
      } else if (id == "heater.switch_shorted" || id == "Q1.welded") {
        result.decided = Decided::came_to_rest;
        result.met_at = campaign.plan().instants[each.instant].scan;
        result.touched = every_scan | (id == "Q1.welded" ? k1_drops : limiter_called);
      }
      singles.push_back(result);
    }
    campaign.add_pairs(singles);
  }
  Campaign campaign;
  std::vector<Result> singles;
};

const Small& small() {
  static const Small made;
  return made;
}

}  // namespace

TEST_CASE(
    "a failure that sleeps is paired with what may wake it and with every demand, and with "
    "nothing else") {
  const Plan& plan = small().campaign.plan();
  REQUIRE(plan.injections.size() > plan.singles);
  std::set<std::string> seconds;
  std::set<std::string> demands;
  for (std::size_t i = plan.singles; i < plan.injections.size(); ++i) {
    const Injection& pair = plan.injections[i];
    REQUIRE(pair.second);
    CHECK(pair.number == i);
    CHECK(first_of(plan, pair).mode.id == "limiter.fails_to_trip");
    const Part second = second_of(plan, pair);
    (pair.second->demand ? demands : seconds).insert(second.mode.id);
  }
  CHECK(demands.size() == plan.demands.size());
  CHECK(seconds == std::set<std::string>{"heater.switch_shorted"});
}

TEST_CASE("a pair whose first failure is not woken comes to what the second comes to alone") {
  const Campaign& campaign = small().campaign;
  const Plan& plan = campaign.plan();
  const std::uint64_t alone = test::injection_of(campaign, "Q1.welded", "1.soak");
  const std::uint64_t sleeper = test::injection_of(campaign, "limiter.fails_to_trip");
  const std::vector<Failure> one = campaign.failures(plan.injections[alone]);
  const std::vector<Failure> other{
      {&plan.modes[plan.injections[sleeper].mode],
       plan.modes[plan.injections[sleeper].mode].realisations.data(), one[0].scan},
      one[0]};
  const Course from(campaign.nominal(), *campaign.nominal().at(one[0].scan));
  const Result single = run_branch(campaign.nominal(), from, one);
  const Result both = run_branch(campaign.nominal(), from, other);
  REQUIRE((single.touched & limiter_called) == 0);
  CHECK(both.outcome == single.outcome);
  CHECK(both.detection == single.detection);
}

TEST_CASE("pairs that go a first failure's way together come to the same as each alone") {
  Campaign campaign(scenario::make_oven(test::quick_machine()), {});
  std::vector<Result> singles;
  for (const Injection& each : campaign.plan().injections) {
    Result result;
    result.number = each.number;
    result.decided = Decided::next_start;
    result.met_at = campaign.plan().instants[each.instant].scan;
    result.outcome = campaign.plan().modes[each.mode].id == "TE-2.drift_up" ? Outcome::unnoticed
                                                                            : Outcome::noticed;
    singles.push_back(result);
  }
  campaign.add_pairs(singles);
  const Plan& plan = campaign.plan();
  std::vector<std::uint64_t> numbers;
  for (std::size_t i = plan.singles; i < plan.injections.size(); i += 19) {
    numbers.push_back(plan.injections[i].number);
  }
  REQUIRE(numbers.size() > 5);
  std::set<std::uint64_t> onsets;
  for (const Result& result : test::results_of(campaign, numbers, 2)) {
    CAPTURE(result.number);
    const std::vector<Failure> failures = campaign.failures(plan.injections[result.number]);
    REQUIRE(failures.size() == 2);
    CHECK(failures[0].scan < failures[1].scan);
    onsets.insert(failures[1].scan);
    CHECK(result == run_injection(campaign, result.number));
    // And as from power-up on.
    const Course start(campaign.nominal(), *campaign.nominal().at(0));
    Result whole = run_branch(campaign.nominal(), start, failures);
    whole.number = result.number;
    CHECK(whole == result);
  }
  CHECK(onsets.size() > 1);
}

TEST_CASE(
    "a pair is found by the hazards that neither of the two comes to alone, and by no other") {
  Plan plan = small().campaign.plan();
  std::vector<Result> results;
  const auto comes_to = [&](std::uint64_t number, std::initializer_list<int> hazards,
                            Conditions touched) {
    Result result;
    result.number = number;
    result.outcome = Outcome::hazardous;
    result.touched = touched;
    for (const int hazard : hazards) {
      result.hazards.emplace_back().hazard = static_cast<std::uint8_t>(hazard);
    }
    results.push_back(result);
  };
  const auto found = [&] {
    std::vector<std::vector<int>> all;
    for (const Result& finding : pair_findings(plan, results)) {
      std::vector<int>& hazards = all.emplace_back();
      for (const HazardHit& hit : finding.hazards) hazards.push_back(hit.hazard);
    }
    return all;
  };
  const auto pair_with = [&](bool demand) {
    for (std::size_t i = plan.singles; i < plan.injections.size(); ++i) {
      if (plan.injections[i].second->demand == demand) return plan.injections[i];
    }
    throw std::runtime_error("no such pair");
  };
  using Found = std::vector<std::vector<int>>;

  const Injection with_mode = pair_with(false);
  comes_to(with_mode.number, {2, 4}, limiter_called);
  CHECK(found() == Found{{2, 4}});
  comes_to(test::injection_of(small().campaign, "heater.switch_shorted"), {2}, every_scan);
  CHECK(found() == Found{{4}});
  results.clear();

  const Injection with_demand = pair_with(true);
  comes_to(with_demand.number, {1, 3}, limiter_called);
  CHECK(found() == Found{{1, 3}});
  // The same demand beside a lamp's coil, which nothing wakes.
  Injection lamp = with_demand;
  lamp.number = plan.injections.size();
  lamp.mode = plan.injections[test::injection_of(small().campaign, "YL-1.coil_off")].mode;
  lamp.realisation = 0;
  plan.injections.push_back(lamp);
  comes_to(lamp.number, {1}, every_scan);
  CHECK(found() == Found{{3}});
  // At another instant the demand may come to something else.
  plan.injections.back().second->instant += 1;
  CHECK(found() == Found{{1, 3}});
}
