#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/campaign/safety_figures.hpp"
#include "sim/campaign/summary.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/scenario/oven_bank.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

namespace {

/// What comes of the phrases, done to the quick oven in the middle of that phase of cycle 1.
Result outcome_of(const std::vector<std::string>& phrases, std::string_view instant,
                  const Campaign& campaign = test::quick_campaign(),
                  std::vector<logic::Cause> right = {}) {
  Mode mode;
  mode.right_first_outs = std::move(right);
  mode.realisations.push_back(realise(Onset::abrupt, phrases));
  for (const Instant& each : campaign.plan().instants) {
    if (each.id != instant) continue;
    const Failure failure{&mode, mode.realisations.data(), each.scan};
    return run_branch(campaign.nominal(),
                      Course(campaign.nominal(), *campaign.nominal().at(each.scan)), {&failure, 1});
  }
  throw std::out_of_range(std::string(instant));
}

std::string hazard_of(const Result& result) {
  return result.hazards.empty() ? "" : hazards::default_hazards()[result.hazards[0].hazard].id;
}

}  // namespace

TEST_CASE("hazardous: a blocked exhaust, unless it is but in part or the relief valve opens") {
  const std::string stuck = "fault: relief_stuck_closed";
  const Result blocked = outcome_of({stuck, "fault: exhaust_blocked"}, "1.purging.middle");
  CHECK(blocked.outcome == Outcome::hazardous);
  CHECK(hazard_of(blocked) == "overpressure");
  CHECK(blocked.hazards[0].unit == "Pa");
  CHECK(blocked.hazards[0].beyond > 0.0);
  CHECK(blocked.hazards[0].lasted_ms > 0);
  CHECK(outcome_of({stuck, "fault: exhaust_blocked 20 %"}, "1.purging.middle").outcome !=
        Outcome::hazardous);
  CHECK(outcome_of({"fault: exhaust_blocked"}, "1.purging.middle").outcome != Outcome::hazardous);
}

TEST_CASE("hazardous: a tight chamber that is cold enough for its load still draws itself empty") {
  machine::Machine tight = test::quick_machine();
  tight.plant.tightness.seal_conductance_L_per_min_Pa = 0.0;
  tight.plant.chamber.max_underpressure_Pa = 5000.0;
  tight.plant.blanket = {};  // it would make up for what shrinks
  const Campaign campaign(scenario::make_oven(tight), {});
  const Result stopped = outcome_of({"fault: estop_healthy open"}, "1.soak.middle", campaign);
  CHECK(stopped.outcome == Outcome::hazardous);
  CHECK(hazard_of(stopped) == "underpressure");
  CHECK(outcome_of({"fault: estop_healthy open"}, "1.soak.middle").outcome == Outcome::noticed);
}

TEST_CASE(
    "detected: a welded contactor is told, with the right first-out, soon after it should have "
    "opened") {
  const Campaign& campaign = test::quick_campaign();
  const std::uint64_t number = test::injection_of(campaign, "Q1.welded", "1.soak");
  const Result result = run_injection(campaign, number);
  CHECK(result.outcome == Outcome::noticed);
  REQUIRE(result.detection);
  CHECK(result.detection->first_out == logic::Cause::k1_welded);
  CHECK(result.detection->first_out_right);
  CHECK(result.detection->reaction_ms >= 500);
  CHECK(result.detection->reaction_ms < 700);
}

TEST_CASE(
    "a first-out that is not among the right ones is a finding, and none is if none is asked") {
  const auto& campaign = test::quick_campaign();
  using logic::Cause;
  const std::vector<std::string> cut{"fault: gas_supply_ok open"};
  CHECK(outcome_of(cut, "1.purging.middle", campaign, {Cause::gas_supply_lost})
            .detection->first_out_right);
  CHECK_FALSE(outcome_of(cut, "1.purging.middle", campaign, {Cause::fan_not_proven})
                  .detection->first_out_right);
  CHECK(outcome_of(cut, "1.purging.middle").detection->first_out_right);
}

TEST_CASE("latent: a limiter that does not trip is asked by nothing in three cycles") {
  const Campaign& campaign = test::quick_campaign();
  const Result asleep =
      run_injection(campaign, test::injection_of(campaign, "limiter.fails_to_trip"));
  CHECK(asleep.outcome == Outcome::unnoticed);
  CHECK(asleep.decided == Decided::never_met);
  CHECK(asleep.scans == 0);
}

TEST_CASE(
    "outage: a start button that does not make loses the next cycle, one that does not, not") {
  const Result broken = outcome_of({"fault: start_button open"}, "1.standby.middle");
  CHECK(broken.outcome == Outcome::outage);
  CHECK_FALSE(broken.detection);
  CHECK(outcome_of({"fault: run_lamp open"}, "1.standby.middle").outcome == Outcome::unnoticed);
}

TEST_CASE("no effect: a supply that dips for less than the delay passes, a longer one is told") {
  // In the purge: in heat the loss of gas would be told at once.
  const Result dip = outcome_of({"fault: gas_supply_ok open for 1 s"}, "1.purging.middle");
  CHECK(dip.outcome == Outcome::no_effect);
  const Result lost = outcome_of({"fault: gas_supply_ok open for 4 s"}, "1.purging.middle");
  CHECK(lost.outcome == Outcome::noticed);
}

TEST_CASE(
    "a failure that passes and one that stays are not the same, though nobody is told of "
    "either") {
  CHECK(outcome_of({"fault: run_lamp open for 5 s"}, "1.soak.middle").outcome ==
        Outcome::no_effect);
  CHECK(outcome_of({"fault: run_lamp open"}, "1.soak.middle").outcome == Outcome::unnoticed);
}

TEST_CASE(
    "taking a diagnostic away lowers the coverage of what it diagnosed, and of nothing else") {
  // Of the safety function that limits the temperature, from the machine file.
  const auto coverage = [](const Campaign& campaign, std::string_view component) {
    // The plan is these two injections, so that both modes were wholly tried.
    Plan plan = campaign.plan();
    plan.injections.clear();
    std::vector<Result> results;
    for (const char* const mode : {"TE-1A.slipped", "Q2.welded"}) {
      const std::uint64_t number = test::injection_of(campaign, mode, "1.ramp");
      results.push_back(run_injection(campaign, number));
      Injection injection = campaign.plan().injections[number];
      injection.number = results.back().number = plan.injections.size();
      plan.injections.push_back(injection);
    }
    plan.singles = plan.injections.size();
    const machine::Machine& machine = campaign.nominal().oven().machine;
    for (const SafetyFunction& function : safety_figures(machine, plan, results)) {
      if (function.stated->name != "Heat off when the chamber is too hot") continue;
      for (const SafetyComponent& each : function.components) {
        if (each.name == component) return each.coverage.value();
      }
    }
    throw std::out_of_range(std::string(component));
  };
  machine::Machine deaf = test::quick_machine();
  deaf.settings.temperature.disagree_limit = Kelvins(200.0F);
  const Campaign without(scenario::make_oven(deaf), {});
  CHECK(coverage(test::quick_campaign(), "thermocouple A") == 1.0);
  CHECK(coverage(without, "thermocouple A") == 0.0);
  CHECK(coverage(test::quick_campaign(), "contactor Q2") == 1.0);
  CHECK(coverage(without, "contactor Q2") == 1.0);
}

TEST_CASE("a machine that is hazardous without any failure is refused, with the hazard") {
  machine::Machine machine = test::quick_machine();
  machine.plant.chamber.max_pressure_Pa = 100.0;
  CHECK_THROWS_WITH_AS(Campaign(scenario::make_oven(machine), {}),
                       doctest::Contains("chamber pressure above its limit"), std::runtime_error);
}

TEST_CASE(
    "a worst case is the worst by outcome, then by how long and how slow, whatever the order") {
  Result latent;
  latent.outcome = Outcome::unnoticed;
  Result slow;
  slow.outcome = Outcome::noticed;
  slow.detection = Detection{true, logic::Cause::k1_welded, true, 900};
  Result quick = slow;
  quick.detection->reaction_ms = 30;
  Result hazard;
  hazard.outcome = Outcome::hazardous;
  hazard.hazards.push_back({0, 10, 500, 1.0, "W"});
  CHECK(worse(hazard, latent));
  CHECK(worse(latent, slow));
  CHECK(worse(slow, quick));
  CHECK_FALSE(worse(quick, slow));
  CHECK_FALSE(worse(slow, slow));
}
