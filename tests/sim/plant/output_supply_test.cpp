#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::oven_220_L;

namespace {

Parameters wired(bool cuts_outputs, bool latched) {
  Parameters p = oven_220_L();
  p.emergency_stop.cuts_outputs = cuts_outputs;
  p.outputs.supply_latched = latched;
  return p;
}

void press_reset(Bench& bench) {
  bench.hands.reset_pressed = true;
  bench.run(0.3);
  bench.hands.reset_pressed = false;
  bench.run(0.05);
}

/// A controller that drives every output all the time.
Bench all_driven(const Parameters& p) {
  Bench bench(p);
  bench.act.fan = bench.act.purge_valve = bench.act.blower = bench.act.damper_open = true;
  bench.act.k1 = bench.act.k2 = true;
  bench.act.heater_drive = 0.1;
  press_reset(bench);
  bench.run(20.0);
  return bench;
}

bool all_on(const Truth& t) {
  return t.fed.fan && t.fed.blower && t.fan_airflow == 1.0 && t.purge_L_per_min > 50.0 &&
         t.blower_speed == 1.0 && t.k1_closed && t.heater_W > 1.0;
}

bool nothing_on(const Truth& t) {
  return !t.fed.fan && !t.fed.blower && !t.fed.purge_valve && t.purge_L_per_min < 1.0 &&
         !t.k1_closed && !t.k2_closed && t.heater_W == 0.0;
}

}  // namespace

TEST_CASE("without a second contact an emergency stop takes the heat alone") {
  Bench bench = all_driven(wired(false, false));
  REQUIRE(all_on(bench.truth()));
  bench.hands.estop_pressed = true;
  bench.run(2.0);
  CHECK(bench.truth().heater_W == 0.0);
  CHECK(bench.truth().fan_airflow == 1.0);
  CHECK(bench.truth().purge_L_per_min > 50.0);
}

TEST_CASE(
    "the second contact of the emergency stop takes fan, gas and blowers from a controller that "
    "drives them") {
  Bench bench = all_driven(wired(true, false));
  REQUIRE(all_on(bench.truth()));
  bench.hands.estop_pressed = true;
  bench.run(2.0);
  CHECK(nothing_on(bench.truth()));
  bench.run(20.0);
  CHECK(bench.truth().fan_airflow == 0.0);
  CHECK(bench.truth().damper_opening == 0.0);
}

TEST_CASE("a bridged second contact lets them go on") {
  Bench bench = all_driven(wired(true, true));
  bench.oven.set_fault(Fault::estop_contact_2_bridged, 1.0);
  bench.hands.estop_pressed = true;
  bench.run(2.0);
  CHECK(bench.truth().fan_airflow == 1.0);
  CHECK(bench.truth().heater_W == 0.0);
}

TEST_CASE("a stop that is released, and a supply that returns, energise again only without K0") {
  for (const bool latched : {false, true}) {
    CAPTURE(latched);
    Bench stopped = all_driven(wired(true, latched));
    stopped.hands.estop_pressed = true;
    stopped.run(2.0);
    stopped.hands.estop_pressed = false;
    stopped.run(20.0);
    CHECK(all_on(stopped.truth()) == !latched);
    CHECK(nothing_on(stopped.truth()) == latched);

    Bench dipped = all_driven(wired(false, latched));
    dipped.oven.set_fault(Fault::outputs_without_supply, 1.0);
    dipped.run(2.0);
    CHECK(nothing_on(dipped.truth()));
    dipped.oven.set_fault(Fault::outputs_without_supply, 0.0);
    dipped.run(20.0);
    CHECK(all_on(dipped.truth()) == !latched);

    Bench mains = all_driven(wired(false, latched));
    mains.act.supply = false;
    mains.run(2.0);
    mains.act.supply = true;
    mains.run(20.0);
    CHECK(all_on(mains.truth()) == !latched);
  }
}

TEST_CASE("K0 pulls in when reset is let go, with the supply there, and not while it is held") {
  Bench bench(wired(true, true));
  bench.act.fan = true;
  bench.run(10.0);
  CHECK_FALSE(bench.truth().fed.fan);  // no reset yet
  bench.hands.reset_pressed = true;
  bench.run(10.0);
  CHECK_FALSE(bench.truth().fed.fan);
  bench.hands.reset_pressed = false;
  bench.run(0.02);
  CHECK(bench.truth().fed.fan);

  bench.hands.estop_pressed = true;
  bench.run(1.0);
  press_reset(bench);
  bench.hands.estop_pressed = false;
  bench.run(1.0);
  CHECK_FALSE(bench.truth().fed.fan);  // reset while the emergency stop was pressed
  press_reset(bench);
  CHECK(bench.truth().fed.fan);
}

TEST_CASE("a welded K0 is no latch, and still feeds nothing while the supply is away") {
  Bench bench = all_driven(wired(true, true));
  bench.oven.set_fault(Fault::k0_welded, 1.0);
  bench.hands.estop_pressed = true;
  bench.run(2.0);
  CHECK(nothing_on(bench.truth()));
  bench.hands.estop_pressed = false;
  bench.run(20.0);
  CHECK(all_on(bench.truth()));
}
