#include <utility>

#include <doctest/doctest.h>

#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

namespace {

/// A hot, inert load after a trip that leaves the gas alone.
Bench blanketed(Phase phase) {
  Bench b = stage(phase, full_options).bench;
  b.force(Fact::cool_to_unload, false);
  b.force(Fact::elements_cool, false);
  b.force(Fact::over_temperature, true);
  b.scan();
  REQUIRE(b.phase() == Phase::tripped);
  b.release(Fact::over_temperature);
  b.scan(20);
  return b;
}

}  // namespace

TEST_CASE("between any two gas paths both valves are off for the changeover time") {
  for (const Options& options : every_option) {
    Bench b = stage(Phase::standby, options).bench;
    b.press(Fact::start_pressed);
    Output last = Output::fan;  // neither valve
    unsigned off = 100;
    unsigned changes = 0;
    for (unsigned n = 0; n < 150; ++n) {
      b.force(Fact::gas_supply_ok, !(b.phase() == Phase::soak && changes < 3));
      b.scan();
      const bool purge = b.outputs().has(Output::purge_valve);
      const bool process = b.outputs().has(Output::process_valve);
      REQUIRE_FALSE((purge && process));
      if (!purge && !process) {
        ++off;
        continue;
      }
      const Output now = purge ? Output::purge_valve : Output::process_valve;
      if (last != Output::fan && now != last) {
        ++changes;
        CHECK(off >= preset(Timer::changeover));
      }
      last = now;
      off = 0;
    }
    CHECK(changes >= 3);
  }
}

TEST_CASE("a path that still flows holds the other valve off however long that takes") {
  Bench b = stage(Phase::purging, full_options).bench;
  b.force(Fact::purge_volumes_reached, true);
  b.force(Fact::oxygen_at_gate, true);
  REQUIRE(b.scan_to(Phase::ramp));
  b.force(Fact::purge_flow, true);
  for (unsigned n = 0; n < 30; ++n) {
    b.scan();
    CHECK_FALSE(b.outputs().has(Output::process_valve));
    CHECK((b.outputs() & heat).empty());
  }
  CHECK(b.commands.first_out == Cause::purge_flow_unexpected);
}

TEST_CASE("a hot load keeps process gas after a trip from every phase that was inert") {
  for (const Phase phase :
       {Phase::ramp, Phase::soak, Phase::repurging, Phase::cooling, Phase::flushing}) {
    CAPTURE(text(phase));
    Bench b = stage(phase, full_options).bench;
    if (phase == Phase::repurging) {
      // The stage has waited and is cold by now: heat it again by hand.
      b.oven.heat = full_heat;
    }
    Bench hot = blanketed(phase);
    CHECK(hot.outputs() == OutputSet(Output::fan, Output::process_valve));
    hot.press(Fact::reset_pressed);
    hot.scan(20);
    CHECK(hot.phase() == Phase::standby);
    CHECK(hot.outputs() == OutputSet(Output::fan, Output::process_valve));
  }
}

TEST_CASE("no gas comes on after a trip from purging: the load is not inert yet") {
  Bench b = blanketed(Phase::purging);
  CHECK(b.outputs() == OutputSet(Output::fan));
}

TEST_CASE("the gas of a hot load ends when it is cold and does not come back") {
  Bench b = blanketed(Phase::soak);
  b.force(Fact::cool_to_unload, true);
  b.force(Fact::gas_settled, false);
  b.scan(5);
  CHECK(b.outputs().has(Output::process_valve));  // cold, but still drawing gas in
  b.force(Fact::gas_settled, true);
  b.scan();
  CHECK_FALSE(b.outputs().has(Output::process_valve));
  b.force(Fact::cool_to_unload, false);
  b.force(Fact::gas_settled, false);
  b.clear_record();
  b.scan(30);
  CHECK_FALSE(b.ever.has(Output::process_valve));
}

TEST_CASE("a trip that doubts the temperature keeps the gas, however cold the oven reads") {
  for (const auto& [fact, bad] :
       {std::pair{Fact::limiter_healthy, false}, std::pair{Fact::temperature_valid, false},
        std::pair{Fact::thermocouples_disagree, true},
        std::pair{Fact::temperature_rate_implausible, true},
        std::pair{Fact::no_temperature_rise, true}}) {
    CAPTURE(text(fact));
    Bench b = stage(Phase::soak, full_options).bench;
    b.force(fact, bad);
    b.scan();
    REQUIRE(b.phase() == Phase::tripped);
    b.force(Fact::cool_to_unload, true);
    b.force(Fact::gas_settled, true);
    b.scan(30);
    CHECK(b.outputs().has(Output::process_valve));
    b.release(fact);
    b.press(Fact::reset_pressed);  // somebody has looked
    CHECK(b.phase() == Phase::standby);
    b.scan();
    CHECK_FALSE(b.outputs().has(Output::process_valve));
  }
}

TEST_CASE(
    "the gas of a hot load ends when the door opens and does not come back, tripped or reset") {
  for (const bool reset : {false, true}) {
    Bench b = blanketed(Phase::soak);
    if (reset) b.press(Fact::reset_pressed);
    b.open_door();
    b.scan();
    CHECK(b.outputs() == nothing);
    b.close_door();
    b.clear_record();
    b.scan(30);
    CHECK(b.ever == nothing);
  }
}

TEST_CASE(
    "the door, opened and closed while both paths are shut, still ends the gas until a reset") {
  for (const Phase phase : {Phase::repurging, Phase::flushing}) {
    Bench b = stage(phase, full_options).bench;
    b.force(Fact::cool_to_unload, false);
    b.open_door();
    b.scan();  // trips in the changeover from purge to process
    b.close_door();
    b.clear_record();
    b.scan(30);
    CHECK(b.ever == nothing);
    b.press(Fact::reset_pressed);
    CHECK(b.phase() == Phase::standby);
    b.scan(30);
    CHECK(b.outputs().has(Output::process_valve));
  }
}

TEST_CASE("a purge path that is slow to stop delays the gas of a hot load and does not lose it") {
  Bench b = stage(Phase::flushing, full_options).bench;
  b.force(Fact::over_temperature, true);
  b.scan();
  REQUIRE(b.phase() == Phase::tripped);
  b.force(Fact::purge_flow, true);
  b.scan(preset(Timer::changeover) + 1);
  CHECK_FALSE(b.outputs().has(Output::process_valve));
  b.release(Fact::purge_flow);
  b.scan(2);
  CHECK(b.outputs().has(Output::process_valve));
}

TEST_CASE("a start on a hot, blanketed oven that is stopped while it purges keeps the blanket") {
  Bench b = blanketed(Phase::soak);
  b.press(Fact::reset_pressed);
  b.press(Fact::start_pressed);
  REQUIRE(b.phase() == Phase::purging);
  b.scan(6);
  b.press(Fact::stop_pressed);
  REQUIRE(b.phase() == Phase::standby);
  b.scan(preset(Timer::changeover) + 1);
  CHECK(b.outputs() == OutputSet(Output::fan, Output::process_valve));
}

TEST_CASE("the fan runs on until the elements are cool") {
  for (const Phase phase : {Phase::unloading, Phase::soak, Phase::cooling}) {
    CAPTURE(text(phase));
    Bench b = stage(phase, full_options).bench;
    b.force(Fact::elements_cool, false);
    if (phase != Phase::unloading) b.force(Fact::limiter_healthy, false);
    b.scan(30);
    CHECK(b.outputs().has(Output::fan));
    CHECK(b.commands.fan == FanState::run_on);
    b.force(Fact::elements_cool, true);
    b.scan();
    CHECK_FALSE(b.outputs().has(Output::fan));
    b.force(Fact::elements_cool, false);
    b.scan(20);
    CHECK_FALSE(b.outputs().has(Output::fan));
  }
}

TEST_CASE("the door ends the run-on of the fan at once and for good") {
  for (const bool tripped : {false, true}) {
    Bench b = stage(tripped ? Phase::soak : Phase::unloading, full_options).bench;
    b.force(Fact::elements_cool, false);
    if (tripped) b.force(Fact::limiter_healthy, false);
    b.scan(5);
    REQUIRE(b.outputs().has(Output::fan));
    b.force(Fact::door_closed, false);  // ajar
    b.scan();
    CHECK(b.outputs() == nothing);
    b.release(Fact::door_closed);
    b.clear_record();
    b.scan(20);
    CHECK(b.ever == nothing);
  }
}

TEST_CASE("heat waits for the fan, in a first start and after the fan was lost for a moment") {
  Bench b = stage(Phase::purging, full_options).bench;
  b.force(Fact::purge_volumes_reached, true);
  b.force(Fact::oxygen_at_gate, true);
  REQUIRE(b.scan_to(Phase::ramp, settled_outputs(Phase::ramp, full_options)));
  b.force(Fact::fan_running, false);
  b.scan();
  CHECK((b.outputs() & heat).empty());
  CHECK(b.outputs().has(Output::fan));
  b.release(Fact::fan_running);
  b.scan();
  CHECK(b.outputs() == settled_outputs(Phase::ramp, full_options));
}

TEST_CASE("the blowers start after the damper is proven open and stop with it") {
  Bench b = stage(Phase::soak, full_options).bench;
  b.force(Fact::cool_to_unload, false);
  b.force(Fact::soak_complete, true);
  b.force(Fact::last_segment, true);
  REQUIRE(b.scan_to(Phase::cooling));
  CHECK(b.outputs().has(Output::damper));
  CHECK_FALSE(b.outputs().has(Output::blower));
  while (!b.fact(Fact::damper_open)) {
    CHECK_FALSE(b.outputs().has(Output::blower));
    b.scan();
  }
  b.scan();
  CHECK(b.outputs().has(Output::blower));
  b.force(Fact::damper_open, false);
  b.scan();
  CHECK_FALSE(b.outputs().has(Output::blower));
  b.release(Fact::damper_open);
  b.release(Fact::cool_to_unload);
  REQUIRE(b.scan_to(Phase::unloading));
  CHECK((b.outputs() & OutputSet(Output::damper, Output::blower)).empty());
  b.scan(damper_stroke + 2);
  CHECK(b.commands.jacket == JacketState::closed);
}

TEST_CASE("a machine without jacket cooling never energises damper or blower") {
  for (const Options& options : every_option) {
    if (options.jacket_cooling) continue;
    Bench b = stage(Phase::standby, options).bench;
    b.press(Fact::start_pressed);
    b.scan(120);
    REQUIRE(b.phase() == Phase::unloading);
    CHECK((b.ever & OutputSet(Output::damper, Output::blower)).empty());
  }
}

TEST_CASE("a welded contactor leaves the trip and both contactors off, whatever is pressed") {
  for (const Fact mirror : {Fact::k1_open, Fact::k2_open}) {
    Bench b = stage(Phase::soak, full_options).bench;
    b.force(mirror, false);
    b.press(Fact::stop_pressed);
    REQUIRE(b.scan_to(Phase::tripped));
    CHECK(b.commands.first_out == (mirror == Fact::k1_open ? Cause::k1_welded : Cause::k2_welded));
    b.clear_record();
    for (unsigned n = 0; n < 10; ++n) {
      b.press(Fact::reset_pressed);
      b.press(Fact::start_pressed);
    }
    CHECK(b.phase() == Phase::tripped);
    CHECK((b.ever & heat).empty());
  }
}
