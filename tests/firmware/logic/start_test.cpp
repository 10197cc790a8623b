#include <doctest/doctest.h>

#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

namespace {

/// Closes the door, opens it and closes it again: nothing may come of it.
void check_door_starts_nothing(Bench& b) {
  for (unsigned time = 0; time < 2; ++time) {
    b.open_door();
    b.scan(3);
    b.close_door();
    for (unsigned n = 0; n < 20; ++n) {
      b.scan();
      REQUIRE((b.phase() == Phase::standby || b.phase() == Phase::tripped));
      REQUIRE(b.outputs() == nothing);
      REQUIRE_FALSE(b.commands.armed);
    }
  }
}

/// A cycle that ended normally, the door opened for unloading, armed.
Bench armed_bench() {
  Bench b = stage(Phase::unloading, full_options).bench;
  b.release_all();
  b.scan(5);
  b.open_door();
  REQUIRE(b.scan_to(Phase::standby));
  REQUIRE(b.commands.armed);
  return b;
}

bool starts_by_door(Bench b) {
  b.close_door();
  b.scan(2);
  return b.phase() == Phase::purging;
}

}  // namespace

TEST_CASE("after a normal end and a door opened for unloading, closing the door starts a cycle") {
  Bench b = armed_bench();
  b.scan();  // in which standby sees the door not closed
  CHECK(starts_by_door(b));
  b.scan(15);  // the door may stay open for a while
  CHECK(starts_by_door(b));
}

TEST_CASE("closing the door starts nothing on a machine without start by door") {
  Options options = full_options;
  options.start_by_door = false;
  Bench b = stage(Phase::unloading, options).bench;
  b.release_all();
  b.scan(5);
  b.open_door();
  REQUIRE(b.scan_to(Phase::standby));
  check_door_starts_nothing(b);
}

TEST_CASE("closing the door starts nothing after power-up, with the door open or closed by then") {
  for (const bool closed : {true, false}) {
    Bench b(full_options);
    if (!closed) b.open_door();
    b.scan(3);
    check_door_starts_nothing(b);
    b.press(Fact::reset_pressed);
    REQUIRE(b.phase() == Phase::standby);
    check_door_starts_nothing(b);
  }
}

TEST_CASE("closing the door starts nothing after it was opened in the cycle, in any phase") {
  for (const Phase phase : {Phase::purging, Phase::ramp, Phase::soak, Phase::repurging,
                            Phase::cooling, Phase::flushing}) {
    CAPTURE(text(phase));
    Bench b = stage(phase, full_options).bench;
    b.release_all();
    b.open_door();
    b.scan();
    REQUIRE(b.phase() == Phase::tripped);
    REQUIRE(b.commands.first_out == Cause::door_opened_in_cycle);
    check_door_starts_nothing(b);
    b.press(Fact::reset_pressed);
    REQUIRE(b.phase() == Phase::standby);
    check_door_starts_nothing(b);
  }
}

TEST_CASE("closing the door starts nothing after an emergency stop while armed") {
  Bench b = armed_bench();
  b.force(Fact::estop_healthy, false);
  b.scan();
  CHECK(b.phase() == Phase::tripped);
  b.release(Fact::estop_healthy);
  check_door_starts_nothing(b);
  b.press(Fact::reset_pressed);
  REQUIRE(b.phase() == Phase::standby);
  check_door_starts_nothing(b);
}

TEST_CASE("closing the door starts nothing after any trip while armed") {
  Bench b = armed_bench();
  b.force(Fact::k1_open, false);
  REQUIRE(b.scan_to(Phase::tripped));
  b.release(Fact::k1_open);
  b.press(Fact::reset_pressed);
  REQUIRE(b.phase() == Phase::standby);
  check_door_starts_nothing(b);
}

TEST_CASE("closing the door starts nothing after a cycle that stop ended") {
  for (const Phase phase : {Phase::ramp, Phase::soak, Phase::repurging}) {
    Bench b = stage(phase, full_options).bench;
    b.release_all();
    b.press(Fact::stop_pressed);
    REQUIRE(b.scan_to(Phase::unloading));
    b.scan(10);
    b.open_door();
    REQUIRE(b.scan_to(Phase::standby));
    check_door_starts_nothing(b);
  }
}

TEST_CASE("closing the door starts nothing when unloading was ended by stop before it opened") {
  Bench b = stage(Phase::unloading, full_options).bench;
  b.release_all();
  b.scan(5);
  b.press(Fact::stop_pressed);
  REQUIRE(b.phase() == Phase::standby);
  check_door_starts_nothing(b);
}

TEST_CASE("closing the door starts nothing once the arming has expired") {
  Bench b = armed_bench();
  b.scan(preset(Timer::arm_expiry) - 2);
  CHECK(b.commands.armed);
  CHECK(starts_by_door(b));
  b.scan(4);
  CHECK_FALSE(b.commands.armed);
  check_door_starts_nothing(b);
}

TEST_CASE("closing the door starts nothing once stop was pressed in standby") {
  Bench b = armed_bench();
  b.press(Fact::stop_pressed);
  CHECK_FALSE(b.commands.armed);
  check_door_starts_nothing(b);
}

TEST_CASE("a door that is not quite open, then closed, neither ends the unloading nor starts") {
  Bench b = stage(Phase::unloading, full_options).bench;
  b.release_all();
  b.scan(5);
  b.force(Fact::door_closed, false);  // and door_open stays false
  b.scan(5);
  b.release(Fact::door_closed);
  for (unsigned n = 0; n < 20; ++n) {
    b.scan();
    CHECK(b.phase() == Phase::unloading);
    CHECK(b.outputs() == nothing);
  }
}

TEST_CASE("a door that opens and closes between two scans of standby does not start") {
  Bench b = armed_bench();
  // The edge needs the door seen not closed in standby itself.
  b.force(Fact::door_closed, true);
  b.scan(20);
  CHECK(b.phase() == Phase::standby);
}

TEST_CASE("a start button held down since before is not a press") {
  SUBCASE("since power-up, through the reset") {
    Bench b(full_options);
    b.force(Fact::start_pressed, true);
    b.scan(5);
    b.press(Fact::reset_pressed);
    REQUIRE(b.phase() == Phase::standby);
    b.scan(20);
    CHECK(b.phase() == Phase::standby);
    CHECK(b.outputs() == nothing);
    b.press(Fact::start_pressed);
    CHECK(b.phase() == Phase::purging);
  }
  SUBCASE("since the cycle, through unloading") {
    Bench b = stage(Phase::unloading, full_options).bench;
    b.release_all();
    b.force(Fact::start_pressed, true);
    b.scan(5);
    b.open_door();
    REQUIRE(b.scan_to(Phase::standby));
    b.force(Fact::stop_pressed, true);  // disarmed
    b.scan();
    b.release(Fact::stop_pressed);
    b.close_door();
    b.scan(20);
    CHECK(b.phase() == Phase::standby);
  }
  SUBCASE("pressed while stop was, and held beyond it") {
    Bench b = stage(Phase::standby, full_options).bench;
    b.force(Fact::stop_pressed, true);
    b.press(Fact::start_pressed);
    b.force(Fact::start_pressed, true);
    b.scan(3);
    b.force(Fact::stop_pressed, false);
    b.scan(20);
    CHECK(b.phase() == Phase::standby);
    CHECK(b.outputs() == nothing);
  }
}

TEST_CASE("a reset button held down since before the trip is not a press") {
  Bench b = stage(Phase::ramp, full_options).bench;
  b.force(Fact::reset_pressed, true);
  b.scan(3);
  b.force(Fact::limiter_healthy, false);
  b.scan(3);
  b.release(Fact::limiter_healthy);
  b.scan(20);
  CHECK(b.phase() == Phase::tripped);
  b.press(Fact::reset_pressed);
  CHECK(b.phase() == Phase::standby);
}

TEST_CASE("a refused reset is used up: the button held until the cause is gone does nothing") {
  Bench b = stage(Phase::standby, full_options).bench;
  b.force(Fact::limiter_healthy, false);
  b.scan(2);
  b.force(Fact::reset_pressed, true);
  b.scan(2);
  b.release(Fact::limiter_healthy);
  b.scan(20);
  CHECK(b.phase() == Phase::tripped);
}

TEST_CASE("stop overrides start, by button and by door") {
  Bench button = stage(Phase::standby, full_options).bench;
  button.force(Fact::stop_pressed, true);
  button.press(Fact::start_pressed);
  CHECK(button.phase() == Phase::standby);
  CHECK(button.outputs() == nothing);

  Bench door = armed_bench();
  door.force(Fact::stop_pressed, true);
  CHECK_FALSE(starts_by_door(door));
}

TEST_CASE("a start is refused while something is missing that the cycle could not go on without") {
  struct Missing {
    Fact fact;
    bool value;
    bool monitor_only = false;
  };
  for (const Options& options : every_option) {
    for (const Missing& m :
         {Missing{Fact::door_closed, false}, Missing{Fact::gas_supply_ok, false},
          Missing{Fact::temperature_valid, false}, Missing{Fact::thermocouples_disagree, true},
          Missing{Fact::temperature_rate_implausible, true},
          Missing{Fact::oxygen_failed, true, true}}) {
      CAPTURE(text(m.fact));
      Bench b = stage(Phase::standby, options).bench;
      b.force(m.fact, m.value);
      b.scan(2);
      const Commands c = b.press(Fact::start_pressed);
      const bool refused = !m.monitor_only || options.oxygen_monitor;
      CHECK(c.phase == (refused ? Phase::standby : Phase::purging));
      if (!refused) continue;
      CHECK(c.outputs == nothing);
      CHECK_FALSE(c.programme_restart);
      b.release(m.fact);
      b.scan(10);
      CHECK(b.phase() == Phase::standby);
    }
  }
}

TEST_CASE("a start pressed in unloading does nothing, then or in standby") {
  Bench b = stage(Phase::unloading, full_options).bench;
  b.release_all();
  b.press(Fact::start_pressed);
  b.scan(5);
  CHECK(b.phase() == Phase::unloading);
  b.open_door();
  REQUIRE(b.scan_to(Phase::standby));
  b.press(Fact::stop_pressed);
  b.close_door();
  b.scan(10);
  CHECK(b.phase() == Phase::standby);
}

TEST_CASE("a normal end arms once: a next cycle that stop ends does not inherit it") {
  Bench b = armed_bench();
  b.scan();
  b.close_door();
  REQUIRE(b.scan_to(Phase::soak));
  b.press(Fact::stop_pressed);
  REQUIRE(b.scan_to(Phase::unloading));
  b.scan(10);
  b.open_door();
  REQUIRE(b.scan_to(Phase::standby));
  check_door_starts_nothing(b);
}
