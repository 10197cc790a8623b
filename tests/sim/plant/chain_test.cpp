#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::oven_220_L;

namespace {

// An oven that heats: both contactors in, fan on.
Bench heating(const Parameters& p = oven_220_L()) {
  Bench bench(p, {20.0, 0.0, true});
  bench.act.k1 = bench.act.k2 = bench.act.fan = true;
  bench.act.heater_drive = 1.0;
  bench.run(0.2);
  return bench;
}

}  // namespace

TEST_CASE("heat needs both contactors") {
  for (const bool k1 : {false, true}) {
    for (const bool k2 : {false, true}) {
      Bench bench;
      bench.act.heater_drive = 1.0;
      bench.act.k1 = k1;
      bench.act.k2 = k2;
      bench.run(1.0);
      CHECK(bench.truth().k1_closed == k1);
      CHECK(bench.truth().k2_closed == k2);
      CHECK((bench.truth().heater_W > 0.0) == (k1 && k2));
      CHECK(bench.field().k1_mirror == !k1);
      CHECK(bench.field().k2_mirror == !k2);
    }
  }
}

TEST_CASE("contactors pull in and drop out after their own times") {
  Bench bench;
  bench.act.k1 = true;
  const auto scans_until = [&](bool closed) {
    int scans = 0;
    while (bench.truth().k1_closed != closed && scans < 100) {
      bench.scan();
      ++scans;
    }
    return scans;
  };
  CHECK(scans_until(true) == 4);  // 25 ms, so not within three scans
  bench.act.k1 = false;
  CHECK(scans_until(false) == 5);  // 35 ms
}

TEST_CASE("a coil pulse shorter than the pull-in time closes nothing") {
  Bench bench;
  bench.act.k1 = true;
  bench.run(0.02);
  bench.act.k1 = false;
  bench.run(1.0);
  CHECK_FALSE(bench.truth().k1_closed);
}

TEST_CASE("the emergency stop drops both contactors against their commands, within 50 ms") {
  Bench bench = heating();
  REQUIRE(bench.truth().heater_W > 0.0);
  bench.hands.estop_pressed = true;
  bench.run(0.05);
  CHECK_FALSE(bench.truth().k1_closed);
  CHECK_FALSE(bench.truth().k2_closed);
  CHECK(bench.truth().heater_W == 0.0);
  CHECK_FALSE(bench.field().estop_healthy);
  bench.hands.estop_pressed = false;
  bench.run(0.1);
  CHECK(bench.field().estop_healthy);
  CHECK(bench.truth().heater_W > 0.0);  // the chain alone does not latch the emergency stop
}

TEST_CASE("opening the door drops both contactors against their commands") {
  Bench bench = heating();
  bench.hands.door_open = true;
  bench.run(0.1);
  CHECK(bench.truth().door_opening > 0.0);
  CHECK(bench.truth().heater_W == 0.0);
  CHECK_FALSE(bench.truth().k1_closed);
  CHECK_FALSE(bench.truth().k2_closed);
}

TEST_CASE("the limiter trips on its own thermocouple, latches, and resets only by hand and cool") {
  Parameters p = oven_220_L();
  p.limiter.set_point_degC = 300.0;
  Bench bench = heating(p);
  const double trip_s =
      bench.run_until([](const Plant& o) { return !o.field().limiter_healthy; }, 7200.0);
  CHECK(trip_s < 7200.0);
  CHECK(bench.truth().gas_degC > 250.0);
  bench.run(0.1);
  CHECK(bench.truth().heater_W == 0.0);

  bench.hands.limiter_reset = true;  // too hot still
  bench.run(1.0);
  CHECK_FALSE(bench.field().limiter_healthy);
  bench.hands.limiter_reset = false;
  bench.act.damper_open = bench.act.blower = true;
  bench.run(1200.0);
  REQUIRE(bench.truth().gas_degC < 270.0);
  CHECK_FALSE(bench.field().limiter_healthy);  // cool, but nobody reset it
  CHECK(bench.truth().heater_W == 0.0);
  bench.hands.limiter_reset = true;
  bench.run(1.0);
  CHECK(bench.field().limiter_healthy);
}

TEST_CASE("a limiter nearer the elements trips sooner, at the temperature it feels") {
  const auto at_trip = [](double element_share) {
    Parameters p = oven_220_L();
    p.limiter.set_point_degC = 300.0;
    p.limiter.element_share = element_share;
    p.limiter.time_constant_s = 0.2;
    Bench bench = heating(p);
    bench.run_until([](const Plant& o) { return !o.field().limiter_healthy; }, 7200.0);
    return bench.truth();
  };
  const Truth far = at_trip(0.0), near_by = at_trip(0.5);
  CHECK(far.gas_degC == doctest::Approx(300.0).epsilon(2e-3));
  CHECK(0.5 * (near_by.gas_degC + near_by.element_degC) == doctest::Approx(300.0).epsilon(2e-3));
  CHECK(near_by.time_s < 0.8 * far.time_s);
}

TEST_CASE("the limiter holds the chamber near its set point with full power commanded for ever") {
  Parameters p = oven_220_L();
  p.limiter.set_point_degC = 300.0;
  Bench bench = heating(p);
  double hottest = 0.0;
  for (int i = 0; i < 7200; ++i) {
    bench.run(1.0);
    hottest = std::max(hottest, bench.truth().gas_degC);
  }
  CHECK(hottest < 310.0);
  CHECK(hottest > 260.0);
}
