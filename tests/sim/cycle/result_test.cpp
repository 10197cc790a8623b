#include <algorithm>

#include <doctest/doctest.h>

#include "oven_rig.hpp"
#include "sim/cycle/run.hpp"

using namespace ovenproof;
using logic::Phase;

namespace {

cycle::RunResult sound() {
  cycle::RunResult result;
  result.cycles_planned = 2;
  result.cycles_completed = 2;
  hazards::HazardVerdict avoided;
  avoided.id = "overpressure";
  avoided.avoided = true;
  result.hazards = {avoided};
  return result;
}

}  // namespace

TEST_CASE("a run holds only if all was carried out, nothing occurred, nothing began by itself") {
  CHECK(sound().all_holds());

  cycle::RunResult gave_up = sound();
  gave_up.gave_up = "the oven tripped";
  CHECK_FALSE(gave_up.all_holds());

  cycle::RunResult hazard = sound();
  hazard.hazards.front().avoided = false;
  hazard.hazards.front().first_ms = 10;
  CHECK_FALSE(hazard.all_holds());
  CHECK(hazard.hazards_found() == 1);

  cycle::RunResult short_of_cycles = sound();
  short_of_cycles.cycles_completed = 1;
  CHECK_FALSE(short_of_cycles.all_holds());

  cycle::RunResult by_itself = sound();
  by_itself.started_by_itself = true;
  CHECK_FALSE(by_itself.all_holds());
  by_itself.started_by_itself = false;
  CHECK(by_itself.all_holds());
}

TEST_CASE("a cycle broken off early has no figures of what it never did") {
  const auto broken_off_in = [](Phase phase) {
    const cycle::RunResult result =
        cycle::run(rig::testing::quick_oven(), {.open_door_in = phase}, {}, {});
    REQUIRE(result.cycles.size() == 1);
    CHECK_FALSE(result.cycles.front().complete);
    CHECK(result.cycles.front().end_s > result.cycles.front().start_s);
    CHECK(result.cycles.front().gas_L > 0.0);
    return result.cycles.front();
  };
  const cycle::Figures in_purging = broken_off_in(Phase::purging);
  CHECK_FALSE(in_purging.purge_s);
  CHECK_FALSE(in_purging.oxygen_at_gate_ppm);
  CHECK_FALSE(in_purging.heat_up_s);
  CHECK_FALSE(in_purging.soak_s);
  CHECK_FALSE(in_purging.soak_high_K);
  CHECK_FALSE(in_purging.oxygen_in_soak_ppm);
  CHECK_FALSE(in_purging.cool_down_s);
  CHECK(in_purging.energy_kWh == 0.0);

  const cycle::Figures in_ramp = broken_off_in(Phase::ramp);
  CHECK(in_ramp.purge_s.value() > 60.0);
  CHECK(in_ramp.oxygen_at_gate_ppm.value() > 0.0);
  CHECK_FALSE(in_ramp.heat_up_s);
  CHECK_FALSE(in_ramp.soak_s);
  CHECK(in_ramp.energy_kWh > 0.0);

  const cycle::Figures in_soak = broken_off_in(Phase::soak);
  CHECK(in_soak.heat_up_s.value() > 60.0);
  CHECK(in_soak.soak_s.value() == doctest::Approx(30.0).epsilon(0.01));
  CHECK_FALSE(in_soak.cool_down_s);
}

TEST_CASE("a re-purge is counted, and the purge time stays that of the first gate") {
  rig::testing::OvenAtHand oven;
  cycle::CycleMeter meter;
  const auto run_s = [&](int seconds) {
    for (int scan = 0; scan < 100 * seconds; ++scan) {
      oven.rig.step();
      meter.observe(oven.rig);
    }
  };
  oven.start();
  while (oven.phase() != Phase::ramp) run_s(1);
  run_s(20);
  const double purge_s = meter.cycles().back().purge_s.value();
  oven.break_wire(hal::AnalogIn::oxygen_cell, mock::Offset{-60.0});
  run_s(5);
  REQUIRE(oven.phase() == Phase::repurging);
  oven.rig.board().clear_signal_faults();
  for (int s = 0; s < 3600 && oven.phase() != Phase::soak; ++s) run_s(1);
  REQUIRE(oven.phase() == Phase::soak);
  CHECK(meter.cycles().size() == 1);
  CHECK(meter.cycles().back().repurges == 1);
  CHECK(meter.cycles().back().purge_s.value() == purge_s);
}

TEST_CASE("a plan of cycles counts those alone, and room for more is not filled") {
  const cycle::RunResult one = cycle::run(rig::testing::quick_oven(), {.cycles = 1}, {}, {});
  CHECK(one.cycles.size() == 1);
  CHECK(one.cycles_completed == 1);
  CHECK(one.cycles_planned == 1);
  CHECK(one.all_holds());
  CHECK_FALSE(one.started_by_itself);
}

TEST_CASE("observers and progress are called as they should, and change nothing") {
  long scans = 0;
  double last_s = 0.0;
  int told = 0;
  const cycle::RunResult watched = cycle::run(
      rig::testing::quick_oven(), {.cycles = 1}, [&scans](const rig::Rig&) { ++scans; },
      [&](double simulated_s, Phase) {
        CHECK(simulated_s > last_s);
        last_s = simulated_s;
        ++told;
      });
  CHECK(static_cast<double>(scans) == doctest::Approx(watched.simulated_s * 100.0));
  CHECK(told == static_cast<int>(watched.simulated_s / 60.0));
  const cycle::RunResult alone = cycle::run(rig::testing::quick_oven(), {.cycles = 1}, {}, {});
  CHECK(alone.simulated_s == watched.simulated_s);
  CHECK(alone.events.size() == watched.events.size());
  CHECK(alone.cycles.front().energy_kWh == watched.cycles.front().energy_kWh);
}

TEST_CASE("the soak error counts from when the gas has reached the band, in every segment anew") {
  rig::Oven oven = rig::testing::quick_oven();
  settings::Programme& programme = oven.settings.programme;
  programme.ramp_lag_limit = Kelvins(0.0F);  // the setpoint does not wait for the gas
  programme.segment_count = 2;
  programme.segments[0].ramp_K_per_min = 100.0F;
  programme.segments[1] = {Celsius(200.0F), 100.0F, Milliseconds(60'000)};
  double furthest_K = 0.0;
  std::size_t soaks = 0;
  Phase last = Phase::tripped;
  const cycle::RunResult result =
      cycle::run(oven, {.cycles = 1},
                 [&](const rig::Rig& rig) {
                   const Phase phase = rig.controller().commands().phase;
                   if (phase == Phase::soak && last != Phase::soak) {
                     ++soaks;
                     const double target = soaks == 1 ? 120.0 : 200.0;
                     furthest_K = std::max(furthest_K, target - rig.truth().gas_degC);
                   }
                   last = phase;
                 },
                 {});
  REQUIRE(result.all_holds());
  REQUIRE(soaks == 2);
  REQUIRE(furthest_K > 20.0);
  CHECK(result.cycles.front().soak_low_K.value() < 8.0);
}
