#include "sim/hazards/hazard_watch.hpp"

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "oven_rig.hpp"
#include "sim/rig/probes.hpp"

using namespace ovenproof;
using hazards::HazardWatch;
using logic::Phase;
using rig::testing::OvenAtHand;
using rig::testing::quick_oven;

TEST_CASE("hazards have an id each, a title and a consequence in words") {
  std::set<std::string> ids;
  for (const hazards::Hazard& hazard : hazards::default_hazards()) {
    CHECK(ids.insert(hazard.id).second);
    CHECK_FALSE(hazard.title.empty());
    CHECK_FALSE(hazard.consequence.empty());
  }
  CHECK(ids.size() == 17);
}

TEST_CASE("signals are the probes in their order, limits those of the oven") {
  rig::Oven oven = quick_oven();
  oven.plant.wall.max_temperature_degC = 321.0;
  oven.plant.heater.max_temperature_degC = 654.0;
  oven.plant.load.oxidation_temperature_degC = 111.0;
  oven.plant.load.max_oxygen_ppm = 222.0;
  oven.plant.load.max_temperature_degC = 333.0;
  oven.plant.chamber.max_pressure_Pa = 1234.0;
  oven.plant.chamber.max_underpressure_Pa = 567.0;
  const properties::SignalTable table = hazards::signal_table(oven);
  REQUIRE(table.signals().size() == rig::probes().size());
  for (std::size_t i = 0; i < rig::probes().size(); ++i) {
    CHECK(table.signals()[i].name == rig::probes()[i].name);
  }
  const auto constant = [&table](const char* name) {
    const auto found = table.find_constant(name);
    REQUIRE(found);
    return table.constants()[*found].value;
  };
  CHECK(constant("limit.wall") == 321.0);
  CHECK(constant("limit.element") == 654.0);
  CHECK(constant("limit.load_temperature") == 111.0);
  CHECK(constant("limit.load_oxygen") == 222.0);
  CHECK(constant("limit.load_max_temperature") == 333.0);
  CHECK(constant("limit.pressure") == 1234.0);
  CHECK(constant("limit.underpressure") == -567.0);
  oven.plant.load.max_temperature_degC.reset();
  CHECK(hazards::highest_load_degC(oven.plant) == oven.plant.limiter.set_point_degC);
}

TEST_CASE("the limit that counts is the oven's own") {
  for (const double limit_degC : {60.0, 620.0}) {
    rig::Oven oven = quick_oven();
    oven.plant.wall.max_temperature_degC = limit_degC;
    OvenAtHand at_hand(oven);
    HazardWatch watch(oven, at_hand.rig.period_ms());
    at_hand.after_scan = [&watch](const rig::Rig& rig) { watch.observe(rig); };
    REQUIRE(at_hand.start_and_reach(Phase::soak));
    for (const hazards::HazardVerdict& verdict : watch.verdicts()) {
      if (verdict.id == "chamber_too_hot") CHECK(verdict.avoided == (limit_degC > 100.0));
    }
  }
}

TEST_CASE("a hazard is told once, in the scan in which it occurs, and dated so") {
  const rig::Oven oven = quick_oven();
  OvenAtHand at_hand(oven);
  HazardWatch watch(oven, at_hand.rig.period_ms());
  int told = 0;
  std::uint64_t told_ms = 0;
  at_hand.after_scan = [&](const rig::Rig& rig) {
    for (const std::size_t i : watch.observe(rig)) {
      if (hazards::default_hazards()[i].id != "overpressure") continue;
      ++told;
      told_ms = rig.now_ms();
      CHECK(rig.truth().pressure_Pa > oven.plant.chamber.max_pressure_Pa);
    }
  };
  REQUIRE(at_hand.start_and_reach(Phase::purging));
  at_hand.break_component(plant::Fault::exhaust_blocked);
  at_hand.run_s(30.0);
  at_hand.rig.clear_component_faults();
  at_hand.run_s(30.0);
  CHECK(told == 1);
  for (const hazards::HazardVerdict& verdict : watch.verdicts()) {
    const bool came = verdict.id == "overpressure";
    CAPTURE(verdict.id);
    CHECK(verdict.avoided == !came);
    CHECK(verdict.first_ms.has_value() == came);
    if (came) CHECK(*verdict.first_ms == told_ms);
    CHECK(verdict.margin.ends_with(" Pa beyond") == came);
  }
}

TEST_CASE("the margin tells how near a hazard came") {
  const rig::Oven oven = quick_oven();
  OvenAtHand at_hand(oven);
  HazardWatch watch(oven, at_hand.rig.period_ms());
  double highest_Pa = 0.0;
  at_hand.after_scan = [&](const rig::Rig& rig) {
    watch.observe(rig);
    highest_Pa = std::max(highest_Pa, rig.truth().pressure_Pa);
  };
  REQUIRE(at_hand.start_and_reach(Phase::ramp));
  for (const hazards::HazardVerdict& verdict : watch.verdicts()) {
    if (verdict.id != "overpressure") continue;
    CHECK(std::stod(verdict.margin) ==
          doctest::Approx(oven.plant.chamber.max_pressure_Pa - highest_Pa).epsilon(1e-3));
    CHECK(verdict.margin.ends_with(" Pa"));
  }
}

TEST_CASE("the margin of a hazard that needs a time says how long its condition lasted at most") {
  OvenAtHand at_hand(quick_oven());
  HazardWatch watch(quick_oven(), at_hand.rig.period_ms());
  const auto margin_of = [&watch](const std::string& id) {
    for (const hazards::HazardVerdict& verdict : watch.verdicts()) {
      if (verdict.id == id) return verdict.margin;
    }
    return std::string("no such hazard");
  };
  int lasting = 0;
  int longest = 0;
  at_hand.after_scan = [&](const rig::Rig& rig) {
    watch.observe(rig);
    const plant::Truth truth = rig.truth();
    const bool now =
        truth.purge_L_per_min + truth.process_L_per_min > 1.0 && truth.door_opening > 0.05;
    lasting = now ? lasting + 1 : 0;
    longest = std::max(longest, lasting);
  };
  REQUIRE(at_hand.start_and_reach(Phase::purging));
  for (const char* id : {"heat_with_door_open", "heat_without_airflow", "heat_in_air",
                         "load_hot_in_oxygen", "energised_without_start"}) {
    CAPTURE(id);
    CHECK(margin_of(id) == "never true");
  }
  const auto lasted_s = [&] { return (longest - 1) * 0.001 * at_hand.rig.period_ms(); };
  const auto said = [&] { return std::stod(margin_of("gas_with_door_open")); };
  at_hand.rig.hands.door_open = true;
  at_hand.run_s(10.0);
  REQUIRE(longest > 1);
  CHECK(said() == doctest::Approx(lasted_s()));
  CHECK(margin_of("gas_with_door_open").ends_with(" s of 2 s allowed"));

  at_hand.rig.hands.door_open = false;
  at_hand.run_s(5.0);
  REQUIRE(at_hand.start_and_reach(Phase::purging));
  at_hand.break_component(plant::Fault::purge_valve_stuck_open);
  at_hand.rig.hands.door_open = true;
  at_hand.run_s(10.0);
  CHECK(said() == doctest::Approx(lasted_s()));
  CHECK(lasted_s() >= 2.0);
  CHECK(margin_of("gas_with_door_open").ends_with(" s, 2 s allowed"));
}

TEST_CASE("a distance from a limit of oxygen is in percentage points") {
  const OvenAtHand at_hand(quick_oven());
  HazardWatch watch(quick_oven(), at_hand.rig.period_ms());
  watch.observe(at_hand.rig);
  for (const hazards::HazardVerdict& verdict : watch.verdicts()) {
    if (verdict.id == "room_oxygen_low") CHECK(verdict.margin.ends_with(" percentage points"));
  }
}

TEST_CASE("a hazard that has been told is not told again when another occurs") {
  const rig::Oven oven = quick_oven();
  OvenAtHand at_hand(oven);
  HazardWatch watch(oven, at_hand.rig.period_ms());
  std::vector<std::string> told;
  at_hand.after_scan = [&](const rig::Rig& rig) {
    for (const std::size_t i : watch.observe(rig)) {
      told.push_back(hazards::default_hazards()[i].id);
    }
  };
  REQUIRE(at_hand.start_and_reach(Phase::purging));
  at_hand.run_s(20.0);
  at_hand.break_component(plant::Fault::exhaust_blocked);
  at_hand.run_s(30.0);
  at_hand.rig.clear_component_faults();
  at_hand.break_component(plant::Fault::purge_valve_stuck_open);
  at_hand.rig.hands.door_open = true;
  at_hand.run_s(30.0);
  CHECK(told == std::vector<std::string>{"overpressure", "gas_with_door_open"});
}
