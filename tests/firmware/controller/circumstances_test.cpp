#include <doctest/doctest.h>

#include "bench.hpp"

/// What the controller tells its judgements about the oven: each must hear of the inputs and
/// outputs it goes by.
using namespace ovenproof;
using namespace ovenproof::controller::testing;

namespace {

/// Fan and purge flow prove themselves as long as they are commanded.
void answer(Bench& bench, bool purge_flows = true) {
  bench.field.set(DigitalIn::fan_running, bench.lit(DigitalOut::fan));
  bench.field.set(DigitalIn::purge_flow, purge_flows && bench.lit(DigitalOut::purge_valve));
  bench.field.set(DigitalIn::process_flow, bench.lit(DigitalOut::process_valve));
}

void purge_s(Bench& bench, int seconds, bool purge_flows = true) {
  for (int scan = 0; scan < 100 * seconds; ++scan) {
    answer(bench, purge_flows);
    bench.scan();
  }
}

settings::Settings small_chamber() {
  settings::Settings s = quick_settings();
  s.purge.chamber_volume_L = 80.0F;
  s.purge.minimum_volumes = 4.0F;
  s.purge.counted_share = Fraction(0.5F);  // at 50 L/min: 384 s
  s.timing.flow_proof = Milliseconds(60'000);
  return s;
}

Bench started(const settings::Settings& settings) {
  Bench bench(settings);
  REQUIRE(bench.controller->settings_refusal() == settings::Refusal::none);
  bench.run(3'000);
  bench.reset();
  bench.press(DigitalIn::start_button);
  REQUIRE(bench.phase() == Phase::purging);
  return bench;
}

/// From now on the cell reads what a stirred purge leaves, so that the reading is no finding.
void oxygen_falls(Bench& bench, double minutes) {
  // 22.04 mV at 750 degC for each volume change by a factor e: R T / 4 F at 1023.15 K.
  bench.field.set(AnalogIn::oxygen_cell, 22.04 * minutes * 100.0 / 80.0);
}

}  // namespace

TEST_CASE("volume changes count while purge flow is proven, and start again when it is lost") {
  Bench proven = started(small_chamber());
  for (int s = 0; s < 375; ++s) {
    oxygen_falls(proven, s / 60.0);
    purge_s(proven, 1);
  }
  CHECK_FALSE(proven.fact(Fact::purge_volumes_reached));
  for (int s = 375; s < 390; ++s) {
    oxygen_falls(proven, s / 60.0);
    purge_s(proven, 1);
  }
  CHECK(proven.fact(Fact::purge_volumes_reached));

  Bench interrupted = started(small_chamber());
  for (int s = 0; s < 390; ++s) {
    oxygen_falls(interrupted, s / 60.0);
    purge_s(interrupted, 1, s != 195);
  }
  CHECK_FALSE(interrupted.fact(Fact::purge_volumes_reached));
}

TEST_CASE("a reading that stays at air is a fault while flow is proven, and not without") {
  for (const bool flows : {true, false}) {
    CAPTURE(flows);
    settings::Settings s = small_chamber();
    s.oxygen.lag = Milliseconds(10'000);
    Bench bench = started(s);
    for (int second = 0; second < 500 && bench.phase() == Phase::purging; ++second) {
      // Alive, but not falling.
      bench.field.set(AnalogIn::oxygen_cell, second % 2 == 0 ? 0.0 : 0.1);
      purge_s(bench, 1, flows);
    }
    CHECK((bench.first_out() == Cause::oxygen_not_falling) == flows);
  }
}

TEST_CASE("a warm-up that takes too long fails the oxygen reading, and no sooner") {
  settings::Settings s = quick_settings();
  s.oxygen.warm_up_maximum = Milliseconds(300'000);
  mock::FieldInputs cold = oven_at_rest();
  cold.set(AnalogIn::oxygen_cell_tc, 20.0);
  Bench bench(s, cold);
  REQUIRE(bench.controller->settings_refusal() == settings::Refusal::none);
  bench.run(295'000);
  CHECK_FALSE(bench.fact(Fact::oxygen_failed));
  bench.run(10'000);
  CHECK(bench.fact(Fact::oxygen_failed));
}

TEST_CASE("an accepted reset lets the oxygen monitor be judged anew, a refused one does not") {
  settings::Settings s = quick_settings();
  s.oxygen.air_open_time = Milliseconds(10'000);
  mock::FieldInputs open = oven_at_rest();
  open.set(DigitalIn::door_closed_1, false);
  open.set(DigitalIn::door_closed_2, false);
  open.set(AnalogIn::oxygen_cell, 20.0);
  Bench bench(s, open);
  bench.run(3'000);
  bench.reset();
  bench.run(90'000);
  REQUIRE(bench.first_out() == Cause::oxygen_air_check_failed);
  bench.field.set(AnalogIn::oxygen_cell, 0.0);
  bench.run(5'000);
  CHECK(bench.fact(Fact::oxygen_air_check_failed));
  bench.field.set(DigitalIn::estop_healthy, false);
  bench.reset();
  CHECK(bench.fact(Fact::oxygen_air_check_failed));
  bench.field.set(DigitalIn::estop_healthy, true);
  bench.reset();
  CHECK(bench.phase() == Phase::standby);
  CHECK_FALSE(bench.fact(Fact::oxygen_air_check_failed));
}

TEST_CASE("a temperature that rises with nothing on is told, unless fan or door explain it") {
  enum class Explained { not_at_all, by_fan, by_door };
  for (const Explained why : {Explained::not_at_all, Explained::by_fan, Explained::by_door}) {
    CAPTURE(static_cast<int>(why));
    settings::Settings s = quick_settings();
    s.temperature.undemanded_grace = Milliseconds(120'000);
    s.timing.fan_stop = Milliseconds(600'000);
    Bench bench(s);
    bench.run(130'000);
    // Some 50 K in 100 s.
    for (int second = 0; second < 100; ++second) {
      const bool moment = second % 50 == 10;
      if (why == Explained::by_fan) bench.field.set(DigitalIn::fan_running, moment);
      if (why == Explained::by_door) {
        bench.field.set(DigitalIn::door_closed_1, !moment);
        bench.field.set(DigitalIn::door_closed_2, !moment);
      }
      bench.field.set(AnalogIn::te_a, 0.02 * second);
      bench.field.set(AnalogIn::te_b, 0.02 * second);
      bench.run(1'000);
    }
    CHECK(bench.fact(Fact::rise_without_demand) == (why == Explained::not_at_all));
  }
}

TEST_CASE("gas is settled in a cold oven, not in a hot one that cools fast") {
  Bench cold;
  cold.run(120'000);
  CHECK(cold.fact(Fact::gas_settled));

  mock::FieldInputs hot = oven_at_rest();
  hot.set(AnalogIn::te_a, 20.0);
  hot.set(AnalogIn::te_b, 20.0);
  Bench cooling(quick_settings(), hot);
  for (int second = 0; second < 120; ++second) {
    // Some 2.5 K/s.
    cooling.field.set(AnalogIn::te_a, 20.0 - 0.1 * second);
    cooling.field.set(AnalogIn::te_b, 20.0 - 0.1 * second);
    cooling.run(1'000);
  }
  CHECK_FALSE(cooling.fact(Fact::gas_settled));
}
