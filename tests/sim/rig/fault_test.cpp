#include <doctest/doctest.h>

#include "oven_rig.hpp"

using namespace ovenproof;
using plant::Fault;
using rig::ComponentFault;
using rig::testing::OvenAtHand;

TEST_CASE("a component fault grows from its onset over its ramp, stays, and ends whole") {
  const ComponentFault fault{Fault::seal_leaking, 0.8, 1'000, 4'000, 9'000};
  CHECK(fault.at(0) == 0.0);
  CHECK(fault.at(999) == 0.0);
  CHECK(fault.at(1'000) == 0.0);
  CHECK(fault.at(2'000) == doctest::Approx(0.2));
  CHECK(fault.at(3'000) == doctest::Approx(0.4));
  CHECK(fault.at(5'000) == 0.8);
  CHECK(fault.at(8'999) == 0.8);
  CHECK(fault.at(9'000) == 0.0);
}

TEST_CASE("without a ramp it is there at once, and without an end it stays") {
  const ComponentFault fault{Fault::fan_stopped, 1.0, 500};
  CHECK(fault.at(499) == 0.0);
  CHECK(fault.at(500) == 1.0);
  CHECK(fault.at(1'000'000'000'000) == 1.0);
}

TEST_CASE("the plant has the severity of the moment, of several faults of one part the worst") {
  OvenAtHand oven;
  oven.rig.inject({Fault::seal_leaking, 1.0, 10'000, 10'000, 40'000});
  oven.rig.inject({Fault::seal_leaking, 0.3, 0, 0, 30'000});
  oven.rig.inject({Fault::fan_slow, 0.5, 20'000, 0, 25'000});
  const auto severity_at = [&oven](double t_s, Fault fault) {
    oven.run_s(t_s - static_cast<double>(oven.rig.now_ms()) / 1000.0);
    return oven.rig.plant().faults()[fault];
  };
  CHECK(severity_at(5.0, Fault::seal_leaking) == 0.3);
  CHECK(severity_at(12.0, Fault::seal_leaking) == 0.3);
  CHECK(severity_at(15.0, Fault::seal_leaking) == doctest::Approx(0.5));
  CHECK(severity_at(15.0, Fault::fan_slow) == 0.0);
  CHECK(severity_at(22.0, Fault::fan_slow) == 0.5);
  CHECK(severity_at(22.0, Fault::seal_leaking) == 1.0);
  CHECK(severity_at(26.0, Fault::fan_slow) == 0.0);
  CHECK(severity_at(39.0, Fault::seal_leaking) == 1.0);
  CHECK(severity_at(41.0, Fault::seal_leaking) == 0.0);
}

TEST_CASE("cleared component faults are gone from the plant at once") {
  OvenAtHand oven;
  oven.break_component(Fault::fan_stopped);
  oven.run_s(1.0);
  REQUIRE(oven.rig.plant().faults().has(Fault::fan_stopped));
  oven.rig.clear_component_faults();
  CHECK_FALSE(oven.rig.plant().faults().has(Fault::fan_stopped));
  oven.run_s(1.0);
  CHECK_FALSE(oven.rig.plant().faults().has(Fault::fan_stopped));
}

TEST_CASE("a component fault acts on the oven, and the firmware answers") {
  OvenAtHand oven;
  REQUIRE(oven.start_and_reach(logic::Phase::ramp));
  oven.run_s(30.0);
  oven.break_component(Fault::fan_stopped);
  oven.run_s(20.0);
  CHECK(oven.rig.truth().fan_airflow == doctest::Approx(0.0));
  CHECK(oven.first_out() == logic::Cause::fan_not_proven);
  CHECK(oven.rig.truth().heater_W == 0.0);
}

TEST_CASE("a wiring fault at the board reaches firmware or oven, whichever side it is on") {
  OvenAtHand input;
  REQUIRE(input.start_and_reach(logic::Phase::ramp));
  input.break_wire(hal::DigitalIn::estop_healthy, mock::Open{});
  input.run_s(1.0);
  CHECK(input.first_out() == logic::Cause::emergency_stop);
  CHECK(input.rig.plant().field().estop_healthy);

  OvenAtHand output;
  output.reset();
  output.break_wire(hal::DigitalOut::fan, mock::ShortCircuit{});
  output.run_s(10.0);
  CHECK_FALSE(output.rig.controller().commands().outputs.has(logic::Output::fan));
  CHECK(output.rig.truth().fan_airflow > 0.9);
}
