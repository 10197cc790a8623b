#include "sim/cycle/attendant.hpp"

#include <algorithm>
#include <functional>
#include <optional>
#include <string>

#include <doctest/doctest.h>

#include "oven_rig.hpp"

using namespace ovenproof;
using logic::Phase;
using rig::testing::OvenAtHand;
using rig::testing::quick_oven;

namespace {

struct Outcome {
  std::string gave_up;
  std::uint32_t cycles = 0;
  double took_s = 0.0;
  bool done = false;
};

/// Lets the attendant work on a rig; `meddle` is called before each scan.
Outcome attended(rig::Rig rig, const cycle::Plan& plan = {.cycles = 1},
                 const std::function<void(rig::Rig&)>& meddle = {}) {
  cycle::Attendant attendant(plan);
  constexpr std::uint64_t day_ms = 24ULL * 3'600'000;
  while (!attendant.done() && rig.now_ms() < day_ms) {
    if (meddle) meddle(rig);
    attendant.act(rig);
    rig.step();
  }
  return {attendant.gave_up(), attendant.cycles_completed(),
          static_cast<double>(rig.now_ms()) / 1000.0, attendant.done()};
}

Outcome with_component_fault(plant::Fault fault, Phase in) {
  bool broken = false;
  return attended(rig::Rig(quick_oven()), {.cycles = 1}, [&broken, fault, in](rig::Rig& rig) {
    if (broken || rig.controller().commands().phase != in) return;
    broken = true;
    rig.inject({fault, 1.0, rig.now_ms()});
  });
}

rig::Rig with_broken_wire(mock::Point point, const rig::Oven& oven = quick_oven()) {
  rig::Rig rig(oven);
  REQUIRE(rig.board().inject({point, mock::Open{}}).id);
  return rig;
}

}  // namespace

TEST_CASE("the attendant carries out the cycles of the plan on a sound oven") {
  const Outcome outcome = attended(rig::Rig(quick_oven()), {.cycles = 2});
  CHECK(outcome.gave_up == "");
  CHECK(outcome.cycles == 2);
  CHECK(outcome.done);
}

TEST_CASE("he gives up when the oven trips, with the first-out as the reason") {
  CHECK(with_component_fault(plant::Fault::fan_stopped, Phase::ramp).gave_up ==
        "the oven tripped: fan on, no airflow");
  CHECK(with_component_fault(plant::Fault::purge_valve_stuck_closed, Phase::purging).gave_up ==
        "the oven tripped: purge valve open, no purge flow");
  CHECK(with_component_fault(plant::Fault::supply_failing, Phase::soak).cycles == 0);
}

TEST_CASE("he gives up within minutes when the oven cannot be reset, and says what is in the way") {
  rig::Rig stopped(quick_oven());
  stopped.hands.estop = true;
  const Outcome by_estop = attended(stopped);
  CHECK(by_estop.gave_up == "the oven could not be reset: emergency stop");
  CHECK(by_estop.took_s < 300.0);

  rig::Rig corrupt(quick_oven());
  corrupt.power_off();
  corrupt.board().store().flip(controller::settings_offset + 60, std::byte{1});
  corrupt.power_on();
  const Outcome by_settings = attended(corrupt);
  CHECK(by_settings.gave_up.find("the oven could not be reset: ") == 0);
  CHECK(by_settings.gave_up.find(logic::row_of(logic::Cause::settings_invalid).text) !=
        std::string::npos);
}

TEST_CASE("he gives up when the oxygen monitor never becomes ready") {
  rig::Oven cold = quick_oven();
  cold.initial.oxygen_cell_warm = false;
  rig::Rig rig(cold);
  rig.inject({plant::Fault::oxygen_cell_heater_failed, 1.0, 0});
  const Outcome outcome = attended(rig);
  CHECK(outcome.gave_up == "the oxygen reading did not become valid");
  CHECK(outcome.took_s < 3.0 * 3600.0);
}

TEST_CASE("he gives up when the door does not prove closed") {
  // The wire breaks while the door stands open.
  bool broken = false;
  const Outcome outcome = attended(rig::Rig(quick_oven()), {.cycles = 1}, [&broken](rig::Rig& rig) {
    if (broken || rig.truth().door_opening < 1.0) return;
    broken = true;
    REQUIRE(rig.board().inject({hal::DigitalIn::door_closed_1, mock::Open{}}).id);
    REQUIRE(rig.board().inject({hal::DigitalIn::door_closed_2, mock::Open{}}).id);
  });
  CHECK(outcome.gave_up == "the door was not proven closed");
}

TEST_CASE("he gives up when pressing start starts nothing") {
  const Outcome outcome = attended(with_broken_wire(hal::DigitalIn::start_button));
  CHECK(outcome.gave_up == "the cycle did not start, or ended without asking to be unloaded");
}

TEST_CASE("he gives up when the oven trips while he waits for it to become ready") {
  rig::Oven cold = quick_oven();
  cold.initial.oxygen_cell_warm = false;
  const Outcome outcome = attended(rig::Rig(cold), {.cycles = 1}, [](rig::Rig& rig) {
    if (rig.now_ms() == 400'000) rig.hands.estop = true;
  });
  CHECK(outcome.gave_up == "the oven tripped: emergency stop");
  CHECK(outcome.took_s < 500.0);
}

TEST_CASE("on an oven that starts by door he presses start for the first cycle only") {
  rig::Oven by_door = quick_oven();
  by_door.settings.options.start_by_door = true;
  for (const bool door : {true, false}) {
    int presses = 0;
    bool held = false;
    const Outcome outcome =
        attended(rig::Rig(door ? by_door : quick_oven()), {.cycles = 3}, [&](rig::Rig& rig) {
          if (rig.hands.start && !held) ++presses;
          held = rig.hands.start;
        });
    CHECK(outcome.cycles == 3);
    CHECK(presses == (door ? 1 : 3));
  }
}

TEST_CASE("the attendant airs the chamber, then reaches in for the loading time of the plan") {
  struct Stay {
    double machine_airing_s;
    std::optional<double> plan_airing_s;
    std::uint32_t loading_s;
    double airs_s;
  };
  for (const Stay& each : {Stay{90.0, {}, 60, 90.0}, Stay{40.0, {}, 300, 40.0},
                           Stay{90.0, 10.0, 60, 10.0}, Stay{90.0, 0.0, 60, 0.0}}) {
    CAPTURE(each.machine_airing_s);
    CAPTURE(each.loading_s);
    rig::Oven oven = quick_oven();
    oven.plant.people.airing_s = each.machine_airing_s;
    double airs_s = 0.0;
    double reaches_s = 0.0;
    attended(rig::Rig(oven),
             {.cycles = 1, .loading_s = each.loading_s, .airing_s = each.plan_airing_s},
             [&](rig::Rig& rig) {
               if (!rig.hands.door_open || rig.truth().energy_kWh != 0.0) return;
               (rig.hands.reaching_in ? reaches_s : airs_s) += 0.01;
             });
    CHECK(airs_s == doctest::Approx(each.airs_s + 1.0).epsilon(0.01));  // until the door is open
    CHECK(reaches_s == doctest::Approx(each.loading_s).epsilon(0.01));
  }
}

TEST_CASE("the load leaves, with its heat, in the middle of reaching in") {
  double reached_in_s = 0.0;
  double exchanged_s = 0.0;
  double hottest_degC = 0.0;
  double before_degC = 0.0;
  bool door_closed_on_somebody = false;
  attended(rig::Rig(quick_oven()), {.cycles = 1, .loading_s = 100}, [&](rig::Rig& rig) {
    const plant::Truth truth = rig.truth();
    if (rig.hands.reaching_in && !rig.hands.door_open) door_closed_on_somebody = true;
    if (truth.energy_kWh == 0.0) return;
    hottest_degC = std::max(hottest_degC, truth.load_inside_degC);
    if (!rig.hands.reaching_in) return;
    if (before_degC - truth.load_inside_degC > 10.0) {
      exchanged_s = reached_in_s;
      CHECK(before_degC > 40.0);
      CHECK(truth.load_degC == doctest::Approx(rig.surroundings.ambient_degC).epsilon(0.05));
    }
    before_degC = truth.load_inside_degC;
    reached_in_s += 0.01;
  });
  REQUIRE(hottest_degC > 60.0);
  CHECK(reached_in_s == doctest::Approx(100.0).epsilon(0.01));
  CHECK(exchanged_s == doctest::Approx(50.0).epsilon(0.01));
  CHECK_FALSE(door_closed_on_somebody);
}

TEST_CASE("the attendant pulls back when the power fails") {
  rig::Rig rig(quick_oven());
  cycle::Attendant attendant({.cycles = 1});
  while (!rig.hands.reaching_in && rig.now_ms() < 300'000) {
    attendant.act(rig);
    rig.step();
  }
  REQUIRE(rig.hands.reaching_in);
  rig.power_off();
  attendant.act(rig);
  CHECK_FALSE(rig.hands.reaching_in);
  CHECK(rig.hands.door_open);
}

TEST_CASE("without power he waits, and touches nothing") {
  rig::Rig rig(quick_oven());
  rig.power_off();
  cycle::Attendant attendant({});
  for (int scan = 0; scan < 1'000; ++scan) {
    attendant.act(rig);
    rig.step();
  }
  CHECK(rig.hands == rig::Hands{});
  CHECK_FALSE(attendant.done());
}
