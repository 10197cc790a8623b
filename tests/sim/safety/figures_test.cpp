#include <doctest/doctest.h>

#include "sim/campaign/safety_figures.hpp"
#include "sim/hazards/hazards.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;
using safety::ModeFate;

namespace {

std::uint8_t hazard(std::string_view id) {
  const auto& all = hazards::default_hazards();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].id == id) return static_cast<std::uint8_t>(i);
  }
  FAIL("no such hazard");
  return 0;
}

/// A plan of these modes, each injected at three instants, and a demand; all results are to be set.
struct Fixture {
  machine::Machine machine;
  Plan plan;
  std::vector<Result> results;

  explicit Fixture(const std::vector<std::string>& modes) {
    for (const std::string& id : modes) {
      Mode mode;
      mode.id = id;
      mode.realisations.emplace_back();
      plan.modes.push_back(std::move(mode));
    }
    plan.demands.emplace_back().realisations.emplace_back();
    plan.instants.resize(3);
    for (std::size_t mode = 0; mode < modes.size(); ++mode) {
      for (std::size_t instant = 0; instant < 3; ++instant) {
        plan.injections.push_back({plan.injections.size(), mode, 0, instant, std::nullopt});
      }
    }
    plan.singles = plan.injections.size();
    for (std::uint64_t i = 0; i < plan.singles; ++i) {
      Result result;
      result.number = i;
      result.outcome = Outcome::noticed;
      result.detection = Detection{true, logic::Cause::k1_welded, true, 100 + i};
      result.decided = Decided::came_to_rest;
      results.push_back(result);
    }
    safety::Component part;
    part.name = "part";
    part.mttfd_years = 50;
    part.modes = modes;
    machine.safety.components.push_back(part);
    safety::Function function;
    function.name = "function";
    function.category = safety::Category::three;
    function.channel_1 = {"part"};
    function.channel_2 = {"part"};
    function.hazards = {"heat_with_door_open"};
    machine.safety.functions.push_back(function);
  }

  Result& at(std::size_t mode, std::size_t instant) { return results[mode * 3 + instant]; }
  SafetyFunction figures() const { return safety_figures(machine, plan, results).at(0); }
  double coverage() const { return figures().components.at(0).coverage.value(); }
};

}  // namespace

TEST_CASE("a mode is covered only if it is noticed wherever something met it") {
  Fixture fixture({"a", "b"});
  CHECK(fixture.coverage() == 1.0);
  fixture.at(0, 1).outcome = Outcome::unnoticed;
  fixture.at(0, 1).detection.reset();
  CHECK(fixture.coverage() == 0.5);
  CHECK(fixture.figures().components[0].modes[0].number == 1);
  CHECK(fixture.figures().fates[static_cast<std::size_t>(ModeFate::unnoticed)] == 1);
  // Where nothing met it, nothing could have noticed it.
  fixture.at(0, 1).decided = Decided::never_met;
  CHECK(fixture.coverage() == 1.0);
  for (std::size_t i = 0; i < 3; ++i) fixture.at(0, i).decided = Decided::never_met;
  CHECK(fixture.coverage() == 0.5);
  CHECK_FALSE(fixture.figures().components[0].modes[0].number);
}

TEST_CASE("shares of the failure rate weigh the modes") {
  Fixture fixture({"a", "b"});
  fixture.machine.safety.components[0].modes = {"a 80 %", "b 20 %"};
  fixture.at(1, 0).outcome = Outcome::no_effect;
  CHECK(fixture.coverage() ==
        1.0);  // something was noticed elsewhere, and here it made no difference
  for (std::size_t i = 0; i < 3; ++i) fixture.at(1, i).outcome = Outcome::outage;
  CHECK(fixture.coverage() == doctest::Approx(0.8));
  CHECK(*fixture.figures().estimate.coverage == doctest::Approx(0.8));
}

TEST_CASE("the hazards of a function count for it, others leave what was noticed") {
  Fixture fixture({"a"});
  fixture.at(0, 2).outcome = Outcome::hazardous;
  fixture.at(0, 2).hazards = {{hazard("heat_with_door_open"), 1, 2, 0.5, ""}};
  CHECK(fixture.coverage() == 0.0);
  CHECK(fixture.figures().fates[static_cast<std::size_t>(ModeFate::hazardous)] == 1);
  fixture.at(0, 2).hazards = {{hazard("overpressure"), 1, 2, 0.5, ""}};
  CHECK(fixture.coverage() == 1.0);
  fixture.at(0, 2).detection.reset();
  CHECK(fixture.coverage() == 0.0);
  fixture.machine.safety.functions[0].hazards.clear();  // then every hazard is its own
  CHECK(fixture.figures().fates[static_cast<std::size_t>(ModeFate::hazardous)] == 1);
}

TEST_CASE(
    "the slowest notice of a dangerous failure, and the slowest answer to a demand by cause") {
  Fixture fixture({"a", "other"});
  fixture.machine.safety.components[0].modes = {"a"};
  fixture.at(1, 0).detection->reaction_ms = 9'999;  // not of this function
  REQUIRE(fixture.figures().fault);
  CHECK(fixture.figures().fault->ms == 102);
  CHECK(fixture.figures().fault->number == 2);
  CHECK_FALSE(fixture.figures().demand);

  fixture.machine.safety.functions[0].causes = {"door_opened_in_cycle"};
  const auto demand = [&](std::size_t first, logic::Cause cause, std::uint64_t ms) {
    Injection injection{fixture.plan.injections.size(), first, 0, 0, std::nullopt};
    injection.second = Injection::Second{true, 0, 0, 1};
    fixture.plan.injections.push_back(injection);
    Result result = fixture.results[0];
    result.number = injection.number;
    result.detection = Detection{true, cause, true, ms};
    fixture.results.push_back(result);
  };
  demand(0, logic::Cause::door_opened_in_cycle, 40);
  demand(0, logic::Cause::door_opened_in_cycle, 70);
  demand(0, logic::Cause::emergency_stop, 500);
  demand(1, logic::Cause::door_opened_in_cycle, 600);
  REQUIRE(fixture.figures().demand);
  CHECK(fixture.figures().demand->ms == 70);
  CHECK(fixture.figures().fault->ms == 102);
}

TEST_CASE("claimed coverage stands where no mode does, and excluded modes count on neither side") {
  Fixture fixture({"a", "b"});
  safety::Component& part = fixture.machine.safety.components[0];
  part.modes.clear();
  CHECK_FALSE(fixture.figures().components[0].coverage);
  part.claimed_coverage = 0.6;
  CHECK(fixture.coverage() == 0.6);
  CHECK(fixture.figures().components[0].claimed);
  part.claimed_coverage.reset();
  part.modes = {"a", "b"};
  fixture.plan.modes[1].excluded = true;
  fixture.results.resize(3);
  CHECK(fixture.coverage() == 1.0);
  fixture.at(0, 0).outcome = Outcome::unnoticed;
  CHECK(fixture.coverage() == 0.0);
}

TEST_CASE("a mode without all its results is not tried, and what needs it is not computed") {
  Fixture fixture({"a", "b"});
  fixture.machine.safety.functions[0].process_safety_time_s = 10.0;
  REQUIRE(fixture.figures().estimate.coverage);
  fixture.results.resize(5);
  const SafetyFunction figures = fixture.figures();
  CHECK(figures.fates[static_cast<std::size_t>(ModeFate::not_tried)] == 1);
  CHECK(figures.fates[static_cast<std::size_t>(ModeFate::no_effect)] == 0);
  CHECK_FALSE(figures.components.at(0).coverage);
  CHECK_FALSE(figures.estimate.coverage);
  CHECK(is_open(figures));
  fixture.results.resize(3);
  CHECK(fixture.figures().components.at(0).modes.at(1).fate == ModeFate::not_tried);
}

TEST_CASE("a function that misses its time or its level is not met, and says by how much") {
  Fixture fixture({"a"});
  safety::Function& stated = fixture.machine.safety.functions[0];
  stated.required = safety::Level::a;
  stated.process_safety_time_s = 0.102;
  CHECK(misses(fixture.figures()).empty());
  stated.process_safety_time_s = 0.101;
  REQUIRE(misses(fixture.figures()).size() == 1);
  CHECK(misses(fixture.figures()).front() == "slowest notice 102 ms (#2), 101 ms allowed");
  stated.process_safety_time_s.reset();
  CHECK(misses(fixture.figures()).empty());
  stated.common_cause = {};
  stated.required = safety::Level::e;
  fixture.at(0, 0).outcome = Outcome::hazardous;
  fixture.at(0, 0).hazards = {{hazard("heat_with_door_open"), 1, 2, 0.5, ""}};
  REQUIRE(misses(fixture.figures()).size() == 1);
  CHECK(misses(fixture.figures()).front().find("end") != std::string::npos);
  CHECK(is_open(fixture.figures()));
}
