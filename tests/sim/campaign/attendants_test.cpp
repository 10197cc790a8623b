#include <algorithm>
#include <map>
#include <set>

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/campaign/scenario_text.hpp"
#include "sim/campaign/summary.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/scenario/oven_bank.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;
using cycle::Habit;

namespace {

std::uint64_t injection_with(const Campaign& campaign, std::string_view mode, Habit attendant) {
  const Plan& plan = campaign.plan();
  for (const Injection& each : plan.injections) {
    if (plan.modes[each.mode].id == mode && plan.instants[each.instant].attendant == attendant) {
      return each.number;
    }
  }
  throw std::out_of_range("no injection of " + std::string(mode) + " with that attendant");
}

/// What is seen at the oven in one injection.
struct Seen {
  Result result;
  int power_switched = 0;
  double longest_start_s = 0.0;
};

Seen seen_in(const Campaign& campaign, std::uint64_t number) {
  const std::vector<Failure> failures = campaign.failures(campaign.plan().injections.at(number));
  Seen seen;
  double start_s = 0.0;
  seen.result = run_branch(
      campaign.nominal(), Course(campaign.nominal(), *campaign.nominal().at(failures.front().scan)),
      failures,
      [&](const Sight& sight) {
        seen.power_switched += sight.switched_power;
        start_s = sight.rig.hands.start ? start_s + 0.01 : 0.0;
        seen.longest_start_s = std::max(seen.longest_start_s, start_s);
      },
      campaign.not_judged(failures.back()));
  return seen;
}

}  // namespace

TEST_CASE(
    "every failure that begins at once is tried with every attendant, one that drifts is not") {
  const Campaign& campaign = test::quick_campaign();
  const Plan& plan = campaign.plan();
  std::map<std::size_t, std::set<Habit>> of_mode;
  for (const Injection& each : plan.injections) {
    of_mode[each.mode].insert(plan.instants[each.instant].attendant);
  }
  for (std::size_t m = 0; m < plan.modes.size(); ++m) {
    const Mode& mode = plan.modes[m];
    if (mode.excluded) continue;
    CAPTURE(mode.id);
    const bool abrupt = std::ranges::any_of(
        mode.realisations, [](const Realisation& how) { return how.onset == Onset::abrupt; });
    const bool door_matters =
        mode.kind == ComponentKind::valve || mode.kind == ComponentKind::supply ||
        mode.kind == ComponentKind::enclosure || mode.kind == ComponentKind::controller;
    const bool stopper = of_mode[m].erase(Habit::emergency_stopper) != 0;
    if (mode.kind == ComponentKind::sensor || mode.kind == ComponentKind::enclosure) {
      CHECK_FALSE(stopper);
    }
    const std::size_t of = of_mode[m].size();
    constexpr std::size_t others = cycle::habit_count - 1;
    CHECK((of == others || (!door_matters && of == others - 2) || of == 1) == true);
    CHECK((of == 1) == !abrupt);
  }
  for (const char* mode : {"ZS-1.bridged", "AE-1.stuck", "door.jumpered", "seal.torn"}) {
    CAPTURE(std::string(mode));
    CHECK(injection_with(campaign, mode, Habit::late) > 0);
  }
  for (const char* mode : {"HSS-1.bridged", "XV-1.stuck_open", "Q1.welded", "Q3.coil_on",
                           "chain.estop_bridged", "controller.hang", "outputs.frozen"}) {
    CAPTURE(std::string(mode));
    CHECK(injection_with(campaign, mode, Habit::emergency_stopper) > 0);
  }
  for (const Instant& each : plan.instants) CHECK(attendant_of(each.id) == each.attendant);
}

TEST_CASE("from the failure on the oven is worked by the attendant of the instant") {
  const Campaign& campaign = test::quick_campaign();
  const auto with = [&](Habit attendant) {
    return seen_in(campaign, injection_with(campaign, "Q3.stopped", attendant));
  };
  const Seen cycler = with(Habit::power_cycler);
  CHECK(cycler.result.detection.has_value());
  CHECK(cycler.power_switched == 2);
  CHECK(with(Habit::button_holder).power_switched == 0);
  CHECK(seen_in(campaign, injection_with(campaign, "TE-1A.noise", Habit::stop_and_start))
            .longest_start_s < 0.5);
}

TEST_CASE("what an attendant brings about without any failure is not put down to a failure") {
  const Campaign& campaign = test::quick_campaign();
  std::size_t brought_about = 0;
  for (const Instant& each : campaign.plan().instants) {
    if (each.attendant == Habit::usual) continue;
    const HazardSet own = attendants_own(campaign.nominal(), each.attendant, each.scan);
    CAPTURE(each.id);
    const Mode mode;
    const Realisation nothing;
    const Failure failure{&mode, &nothing, each.scan, each.attendant};
    CHECK(campaign.not_judged(failure) == own);
    brought_about += own.size();
    const Result judged = run_branch(campaign.nominal(),
                                     Course(campaign.nominal(), *campaign.nominal().at(each.scan)),
                                     {&failure, 1}, nullptr, campaign.not_judged(failure));
    CHECK(judged.hazards.empty());
    CHECK(judged.decided == Decided::next_start);
  }
  MESSAGE("hazards that attendants bring about themselves: ", brought_about);
  const Mode mode;
  const Realisation nothing;
  CHECK(campaign.not_judged({&mode, &nothing, 1, Habit::usual}).empty());
}

TEST_CASE("a hazard that is not judged makes no outcome, and others still do") {
  const Campaign& campaign = test::quick_campaign();
  const Nominal& nominal = campaign.nominal();
  Mode mode;
  mode.realisations.push_back(
      realise(Onset::abrupt, {"fault: relief_stuck_closed", "fault: exhaust_blocked"}));
  const auto purging =
      std::ranges::find(campaign.plan().instants, "1.purging.middle", &Instant::id);
  const std::vector<Failure> failures{{&mode, mode.realisations.data(), purging->scan}};
  const auto outcome = [&](const HazardSet& not_judged) {
    return run_branch(nominal, Course(nominal, *nominal.at(failures.front().scan)), failures,
                      nullptr, not_judged);
  };
  const Result judged = outcome({});
  REQUIRE(judged.outcome == Outcome::hazardous);
  HazardSet all;
  for (const HazardHit& hit : judged.hazards) all.insert(hit.hazard);
  CHECK(outcome(all).hazards.empty());
  CHECK(outcome(all).outcome != Outcome::hazardous);
  CHECK(outcome({*all.rbegin() + 1}).outcome == Outcome::hazardous);
}

TEST_CASE(
    "a bridged read-back of the emergency stop is hazardous once somebody presses it, unless a "
    "second contact cuts the outputs") {
  machine::Machine single = test::quick_machine();
  single.plant.emergency_stop.cuts_outputs = false;
  const Campaign without(scenario::make_oven(single), {});
  const auto hazardous_at = [](const Campaign& campaign) {
    std::set<std::string> found;
    for (const Injection& each : campaign.plan().injections) {
      const Instant& instant = campaign.plan().instants[each.instant];
      if (campaign.plan().modes[each.mode].id != "HSS-1.bridged") continue;
      if (instant.attendant != Habit::emergency_stopper) continue;
      for (const HazardHit& hit : seen_in(campaign, each.number).result.hazards) {
        CHECK(hazards::default_hazards()[hit.hazard].id == "stop_without_effect");
        found.insert(instant.id);
      }
    }
    return found;
  };
  // At the open door nothing is on; the stop of the next purge has no effect.
  CHECK(hazardous_at(without) == std::set<std::string>{"1.purging.middle/emergency_stopper",
                                                       "1.soak.middle/emergency_stopper",
                                                       "1.unloading.middle/emergency_stopper"});
  CHECK(hazardous_at(test::quick_campaign()).empty());
  CHECK(injection_with(test::quick_campaign(), "HSS-1.contact_2_bridged",
                       Habit::emergency_stopper) > 0);
  CHECK_THROWS_AS(injection_with(without, "HSS-1.contact_2_bridged", Habit::emergency_stopper),
                  std::out_of_range);
}

TEST_CASE("a saved injection with another attendant does what that one does") {
  const Campaign& campaign = test::quick_campaign();
  const std::string text = scenario_of(
      campaign, injection_with(campaign, "Q3.stopped", Habit::power_cycler), "machine.yaml");
  CHECK(text.find("power: off") != std::string::npos);
  CHECK(text.find("power: on") > text.find("power: off"));
  CHECK(text.find("/power_cycler") != std::string::npos);
}

TEST_CASE("the worst of a mode is the worst over all attendants") {
  const Campaign& campaign = test::quick_campaign();
  Result usual;
  usual.number = test::injection_of(campaign, "Q3.stopped");
  usual.outcome = Outcome::noticed;
  Result cycler = usual;
  cycler.number = injection_with(campaign, "Q3.stopped", Habit::power_cycler);
  cycler.outcome = Outcome::hazardous;
  const std::vector<Result> results{usual, cycler};
  for (const ModeSummary& each : summarize(campaign.plan(), results)) {
    if (campaign.plan().modes[each.mode].id != "Q3.stopped") continue;
    CHECK(each.worst->number == cycler.number);
  }
}
