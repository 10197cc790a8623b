#include <doctest/doctest.h>

#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

namespace {

/// A bench in purging or repurging whose gate facts the test holds in its hand: none given yet.
Bench before_gate(Phase phase, Options options) {
  Bench b = stage(phase, options).bench;
  b.force(Fact::purge_volumes_reached, false);
  b.force(Fact::oxygen_at_gate, false);
  b.force(Fact::oxygen_above_hold, false);
  b.scan(2);
  return b;
}

}  // namespace

TEST_CASE(
    "with a monitor the gate needs the volumes and the oxygen, valid and held, and each alone "
    "fails") {
  for (const Phase phase : {Phase::purging, Phase::repurging}) {
    for (unsigned given = 0; given < 8; ++given) {
      CAPTURE(given);
      Bench b = before_gate(phase, full_options);
      b.force(Fact::purge_volumes_reached, (given & 1U) != 0);
      b.force(Fact::oxygen_at_gate, (given & 2U) != 0);
      b.force(Fact::oxygen_valid, (given & 4U) != 0);
      const unsigned hold = preset(Timer::gate_hold);
      for (unsigned n = 0; n < hold; ++n) {
        b.scan();
        CHECK(b.phase() == phase);
        CHECK((b.outputs() & heat).empty());
      }
      b.scan();
      CHECK(b.phase() == (given == 7 ? Phase::ramp : phase));
      b.scan(10);
      CHECK((b.outputs() & heat).empty() == (given != 7));
    }
  }
}

TEST_CASE("oxygen that leaves the gate for one scan must be held anew for the whole time") {
  Bench b = before_gate(Phase::purging, full_options);
  b.force(Fact::purge_volumes_reached, true);
  for (const Fact broken : {Fact::oxygen_at_gate, Fact::oxygen_valid}) {
    b.force(Fact::oxygen_at_gate, true);
    b.force(Fact::oxygen_valid, true);
    b.scan(preset(Timer::gate_hold));
    b.force(broken, false);
    b.scan();
    CHECK(b.phase() == Phase::purging);
  }
  b.force(Fact::oxygen_valid, true);
  b.scan(preset(Timer::gate_hold));
  CHECK(b.phase() == Phase::purging);
  b.scan();
  CHECK(b.phase() == Phase::ramp);
}

TEST_CASE("volumes that are lost while the oxygen is held must be there at the end of the hold") {
  Bench b = before_gate(Phase::purging, full_options);
  b.force(Fact::purge_volumes_reached, true);
  b.force(Fact::oxygen_at_gate, true);
  b.scan(preset(Timer::gate_hold));
  b.force(Fact::purge_volumes_reached, false);
  b.scan(5);
  CHECK(b.phase() == Phase::purging);
  b.force(Fact::purge_volumes_reached, true);
  b.scan();
  CHECK(b.phase() == Phase::ramp);
}

TEST_CASE("without a monitor the volumes alone are the gate, whatever an oxygen reading says") {
  Options options = full_options;
  options.oxygen_monitor = false;
  for (const Phase phase : {Phase::purging, Phase::repurging}) {
    Bench b = before_gate(phase, options);
    b.force(Fact::oxygen_valid, false);
    b.force(Fact::oxygen_failed, true);
    b.scan(20);
    CHECK(b.phase() == phase);
    b.force(Fact::purge_volumes_reached, true);
    b.scan();
    CHECK(b.phase() == Phase::ramp);
    b.force(Fact::oxygen_above_hold, true);
    REQUIRE(b.scan_to(Phase::ramp, settled_outputs(Phase::ramp, options)));
  }
}

TEST_CASE("volumes are counted only in a purge phase, with the purge valve on and the fan proven") {
  for (const Phase phase : {Phase::purging, Phase::repurging, Phase::flushing}) {
    CAPTURE(text(phase));
    Bench b = before_gate(phase, full_options);
    CHECK(b.commands.count_purge);
    SUBCASE("fan not proven") {
      b.force(Fact::fan_running, false);
      b.scan();
      CHECK_FALSE(b.commands.count_purge);
    }
    SUBCASE("purge valve withheld by the other path") {
      b.force(Fact::process_flow, true);
      b.scan();
      CHECK_FALSE(b.outputs().has(Output::purge_valve));
      CHECK_FALSE(b.commands.count_purge);
    }
    SUBCASE("tripped") {
      b.force(Fact::limiter_healthy, false);
      b.scan();
      CHECK_FALSE(b.commands.count_purge);
    }
  }
  for (const Phase phase : {Phase::tripped, Phase::standby, Phase::ramp, Phase::soak,
                            Phase::cooling, Phase::unloading}) {
    CAPTURE(text(phase));
    Bench b = stage(phase, full_options).bench;
    b.scan();
    CHECK_FALSE(b.commands.count_purge);
  }
}

TEST_CASE("a loss of purge flow starts the count again and the gate waits for all of it") {
  Options options = full_options;
  options.oxygen_monitor = false;
  Bench b = stage(Phase::purging, options).bench;
  b.release_all();
  REQUIRE(b.scan_until([&b](const Commands&) { return b.oven.volumes == volumes_needed - 1; }));
  b.force(Fact::purge_flow, false);
  b.scan();
  b.release(Fact::purge_flow);
  for (unsigned n = 1; n < volumes_needed; ++n) {
    b.scan();
    CHECK(b.phase() == Phase::purging);
  }
  b.scan();
  CHECK(b.phase() == Phase::ramp);
}

TEST_CASE(
    "oxygen above the hold limit turns the heat off in the same scan and purges in the next") {
  for (const Phase phase : {Phase::ramp, Phase::soak}) {
    Bench b = stage(phase, full_options).bench;
    b.release(Fact::purge_volumes_reached);
    b.force(Fact::oxygen_above_hold, true);
    b.scan();
    CHECK((b.outputs() & heat).empty());
    b.release(Fact::oxygen_above_hold);
    b.scan();
    CHECK(b.phase() == Phase::repurging);
    // No heat before the gate has been met again, in full.
    unsigned counted = 0;
    while (b.phase() == Phase::repurging) {
      CHECK((b.outputs() & heat).empty());
      counted += b.commands.count_purge ? 1U : 0U;
      b.scan();
    }
    CHECK(b.phase() == Phase::ramp);
    CHECK(counted >= volumes_needed);
    CHECK(b.scan_to(phase, settled_outputs(phase, full_options)));
  }
}

TEST_CASE("without a monitor an oxygen fact neither stops the heat nor purges again") {
  Options options = full_options;
  options.oxygen_monitor = false;
  Bench b = stage(Phase::soak, options).bench;
  b.force(Fact::oxygen_above_hold, true);
  b.scan(20);
  CHECK(b.phase() == Phase::soak);
  CHECK(b.outputs() == settled_outputs(Phase::soak, options));
}

TEST_CASE(
    "a dip of the supply shorter than its delay turns the heat off at once and loses the gate") {
  for (const Options& options : every_option) {
    for (const Phase phase : {Phase::ramp, Phase::soak}) {
      Bench b = stage(phase, options).bench;
      b.force(Fact::purge_volumes_reached, false);
      b.force(Fact::gas_supply_ok, false);
      b.scan();
      CHECK((b.outputs() & heat).empty());
      b.release(Fact::gas_supply_ok);
      for (unsigned n = 0; n < 40; ++n) {  // the volumes are held back: no gate
        b.scan();
        CHECK(b.phase() == Phase::repurging);
        CHECK((b.outputs() & heat).empty());
      }
      b.force(Fact::purge_volumes_reached, true);
      CHECK(b.scan_to(Phase::ramp));
    }
  }
}

TEST_CASE(
    "the limit of re-purges holds for every number a machine may allow, and none is unlimited") {
  for (unsigned allowed : {0U, 1U, 2U, 3U, 200U}) {
    CAPTURE(allowed);
    Options options = full_options;
    options.max_repurges = static_cast<std::uint8_t>(allowed);
    Bench b = stage(Phase::soak, options).bench;
    b.release(Fact::purge_volumes_reached);
    const unsigned expected = allowed < 3 ? allowed : 3;
    for (unsigned time = 0; time < expected; ++time) {
      b.force(time % 2 == 0 ? Fact::oxygen_above_hold : Fact::gas_supply_ok, time % 2 == 0);
      b.scan();
      b.release(Fact::oxygen_above_hold);
      b.release(Fact::gas_supply_ok);
      b.scan();
      REQUIRE(b.phase() == Phase::repurging);
      REQUIRE(b.scan_to(Phase::soak, settled_outputs(Phase::soak, options)));
    }
    b.force(Fact::oxygen_above_hold, true);
    b.scan();
    CHECK((b.outputs() & heat).empty());
    b.scan();
    CHECK(b.phase() == Phase::tripped);
    CHECK(b.commands.first_out == Cause::repurge_limit);
  }
}

TEST_CASE("each cycle has its re-purges anew") {
  Bench b = stage(Phase::standby, full_options).bench;
  for (unsigned cycle = 0; cycle < 3; ++cycle) {
    b.press(Fact::start_pressed);
    for (unsigned time = 0; time < full_options.max_repurges; ++time) {
      REQUIRE(b.scan_to(Phase::ramp, settled_outputs(Phase::ramp, full_options)));
      b.force(Fact::oxygen_above_hold, true);
      b.scan();
      b.release(Fact::oxygen_above_hold);
      b.scan();
      REQUIRE(b.phase() == Phase::repurging);
    }
    REQUIRE(b.scan_to(Phase::unloading));
    b.scan(8);
    b.open_door();
    REQUIRE(b.scan_to(Phase::standby));
    b.press(Fact::stop_pressed);
    b.close_door();
    b.scan(2);
  }
}

TEST_CASE("a purge that waits for the monitor's warm-up still ends by its own timeout") {
  Bench b = stage(Phase::purging, full_options).bench;
  b.force(Fact::oxygen_valid, false);  // warming up: not failed
  b.force(Fact::purge_volumes_reached, true);
  REQUIRE(b.scan_to(Phase::tripped));
  CHECK(b.commands.first_out == Cause::gate_not_met_in_time);
}

TEST_CASE("flushing goes back to cooling at the gate, and to unloading when the load is cold") {
  Bench b = stage(Phase::flushing, full_options).bench;
  SUBCASE("at the gate") {
    b.force(Fact::purge_volumes_reached, true);
    b.force(Fact::oxygen_at_gate, true);
    b.force(Fact::oxygen_above_hold, false);
    CHECK(b.scan_to(Phase::cooling, settled_outputs(Phase::cooling, full_options)));
  }
  SUBCASE("cold, with a monitor that never comes down") {
    b.force(Fact::oxygen_above_hold, true);
    b.force(Fact::oxygen_at_gate, false);
    b.scan(preset(Timer::purge_timeout) + 10);
    CHECK(b.phase() == Phase::flushing);  // no time limit of a purge
    b.release(Fact::cool_to_unload);
    CHECK(b.scan_to(Phase::unloading));
    b.release(Fact::elements_cool);
    b.scan(10);
    CHECK(b.outputs() == nothing);
  }
  SUBCASE("cold, with a monitor that has failed") {
    b.force(Fact::oxygen_valid, false);
    b.force(Fact::oxygen_failed, true);
    b.release(Fact::cool_to_unload);
    CHECK(b.scan_to(Phase::unloading));
  }
}

TEST_CASE(
    "volumes left over from an earlier purge do not open the gate before the purge valve is on") {
  Options options = full_options;
  options.oxygen_monitor = false;
  Bench b = stage(Phase::soak, options).bench;
  b.force(Fact::purge_volumes_reached, true);
  b.force(Fact::gas_supply_ok, false);
  b.scan();
  b.release(Fact::gas_supply_ok);
  b.scan();
  CHECK(b.phase() == Phase::repurging);
  CHECK(b.scan_to(Phase::repurging, OutputSet(Output::fan, Output::purge_valve)));
}

TEST_CASE("a process flow switch that sticks does not stand for gas: heat waits for the valve") {
  Stage s = stage(Phase::purging, full_options);
  Bench& b = s.bench;
  b.force(Fact::ramp_complete, false);
  // It sticks as the gate is met, before the valve may open.
  b.force(Fact::process_flow, true);
  b.force(Fact::purge_volumes_reached, true);
  b.force(fact_of(Timer::gate_hold), true);
  b.force(fact_of(Timer::process_flow_unexpected), false);
  b.force(fact_of(Timer::changeover), false);
  b.force(Fact::oxygen_at_gate, true);
  b.force(Fact::oxygen_above_hold, false);
  b.clear_record();
  b.scan();
  REQUIRE(b.phase() == Phase::ramp);
  b.scan(10);
  REQUIRE(b.phase() == Phase::ramp);
  CHECK((b.ever & heat).empty());

  b.release(fact_of(Timer::changeover));
  CHECK(b.scan_to(Phase::ramp, settled_outputs(Phase::ramp, full_options)));
}
