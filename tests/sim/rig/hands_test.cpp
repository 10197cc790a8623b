#include <stdexcept>

#include <doctest/doctest.h>

#include "oven_rig.hpp"

using namespace ovenproof;
using logic::Fact;
using logic::Phase;
using rig::Hands;
using rig::testing::OvenAtHand;
using rig::testing::quick_oven;

TEST_CASE("each hand reaches its own input of the controller and its own part of the oven") {
  struct Reach {
    bool Hands::*hand;
    Fact fact;
    bool when_pressed;
  };
  for (const Reach& each : {Reach{&Hands::stop, Fact::stop_pressed, true},
                            Reach{&Hands::estop, Fact::estop_healthy, false},
                            Reach{&Hands::door_open, Fact::door_closed, false}}) {
    OvenAtHand oven;
    oven.run_s(1.0);
    REQUIRE(oven.fact(each.fact) == !each.when_pressed);
    oven.rig.hands.*(each.hand) = true;
    oven.run_s(0.5);
    for (const Reach& other : {Reach{&Hands::stop, Fact::stop_pressed, true},
                               Reach{&Hands::estop, Fact::estop_healthy, false},
                               Reach{&Hands::door_open, Fact::door_closed, false}}) {
      CHECK(oven.fact(other.fact) == ((other.hand == each.hand) == other.when_pressed));
    }
  }
}

TEST_CASE("start and reset reach the controller when they are let go, each as itself") {
  for (const bool start : {true, false}) {
    OvenAtHand oven;
    oven.run_s(1.0);
    bool& hand = start ? oven.rig.hands.start : oven.rig.hands.reset;
    unsigned starts = 0;
    unsigned resets = 0;
    for (const bool down : {true, false}) {
      hand = down;
      for (unsigned scan = 0; scan < 50; ++scan) {
        oven.rig.step();
        starts += oven.fact(Fact::start_pressed) ? 1U : 0U;
        resets += oven.fact(Fact::reset_pressed) ? 1U : 0U;
      }
      CHECK(starts == (start && !down ? 1 : 0));
      CHECK(resets == (!start && !down ? 1 : 0));
    }
  }
}

TEST_CASE("an emergency stop opens the hard-wired chain, whatever the firmware wants") {
  OvenAtHand oven;
  REQUIRE(oven.start_and_reach(Phase::ramp));
  oven.run_s(10.0);
  for (const hal::DigitalOut coil : {hal::DigitalOut::k1, hal::DigitalOut::k2}) {
    oven.break_wire(coil, mock::ShortCircuit{});
  }
  REQUIRE(oven.rig.truth().k1_closed);
  oven.rig.hands.estop = true;
  oven.run_s(0.2);
  CHECK_FALSE(oven.rig.truth().k1_closed);
  CHECK_FALSE(oven.rig.truth().k2_closed);
}

TEST_CASE("the load is exchanged through the open door only") {
  OvenAtHand oven;
  REQUIRE(oven.start_and_reach(Phase::soak));
  const double hot = oven.rig.truth().load_degC;
  REQUIRE(hot > 60.0);
  CHECK_FALSE(oven.rig.exchange_load());
  CHECK(oven.rig.truth().load_degC == hot);
  oven.rig.hands.door_open = true;
  oven.run_s(0.5);
  CHECK_FALSE(oven.rig.exchange_load());
  oven.run_s(3.0);
  REQUIRE(oven.rig.truth().door_opening == 1.0);
  CHECK(oven.rig.exchange_load());
  CHECK(oven.rig.truth().load_degC == doctest::Approx(oven.rig.surroundings.ambient_degC));
  CHECK(oven.rig.truth().load_inside_degC == doctest::Approx(oven.rig.surroundings.ambient_degC));
}

TEST_CASE("a tripped limiter is reset by its own button and only once it has cooled") {
  rig::Oven set_low = quick_oven();
  set_low.plant.limiter.set_point_degC = 80.0;
  OvenAtHand oven(set_low);
  REQUIRE(oven.start_and_reach(Phase::ramp));
  for (int s = 0; s < 900 && oven.fact(Fact::limiter_healthy); ++s) oven.run_s(1.0);
  REQUIRE_FALSE(oven.fact(Fact::limiter_healthy));
  CHECK(oven.first_out() == logic::Cause::limiter_tripped);
  CHECK(oven.rig.truth().heater_W == 0.0);
  oven.press(&Hands::limiter_reset);
  CHECK_FALSE(oven.fact(Fact::limiter_healthy));
  oven.press(&Hands::reset);
  CHECK(oven.phase() == Phase::tripped);
  for (int s = 0; s < 7200 && oven.rig.truth().element_degC > 50.0; ++s) oven.run_s(1.0);
  oven.press(&Hands::limiter_reset);
  CHECK(oven.fact(Fact::limiter_healthy));
  oven.press(&Hands::reset);
  CHECK(oven.phase() == Phase::standby);
}

TEST_CASE("an oven too quick for its scan is refused, not stepped wrongly") {
  rig::Oven oven = quick_oven();
  oven.settings.scan.period = Milliseconds(100);
  CHECK_THROWS_AS(rig::Rig{oven}, std::invalid_argument);
}

TEST_CASE("the Pt100 of the terminals is that of IEC 60751") {
  // IEC 60751:2008, table 1.
  CHECK(rig::pt100_ohm(-40.0) == doctest::Approx(84.27).epsilon(1e-4));
  CHECK(rig::pt100_ohm(-200.0) == doctest::Approx(18.52).epsilon(1e-3));
  CHECK(rig::pt100_ohm(0.0) == 100.0);
  CHECK(rig::pt100_ohm(20.0) == doctest::Approx(107.79).epsilon(1e-4));
  CHECK(rig::pt100_ohm(100.0) == doctest::Approx(138.51).epsilon(1e-4));
}
