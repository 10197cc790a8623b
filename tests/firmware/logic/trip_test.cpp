#include <set>
#include <string_view>

#include <doctest/doctest.h>

#include "firmware/logic/matrix.hpp"
#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

TEST_CASE("power and watchdog bring the logic up tripped, everything off until a fresh reset") {
  for (const Cause born : {Cause::power_up, Cause::watchdog_restart}) {
    for (const Options& options : every_option) {
      Bench b(options, born);
      // Whatever the buttons, the door and the heat left in the oven say.
      b.force(Fact::reset_pressed, true);
      b.force(Fact::start_pressed, true);
      b.force(Fact::elements_cool, false);
      b.force(Fact::cool_to_unload, false);
      for (unsigned n = 0; n < 50; ++n) {
        b.scan();
        CHECK(b.outputs() == nothing);
        CHECK(b.phase() == Phase::tripped);
        CHECK(b.commands.first_out == born);
      }
      b.press(Fact::reset_pressed);
      CHECK(b.phase() == Phase::standby);
      b.scan(50);
      // A hot load gets gas and circulation by the reset; nothing else comes before a start.
      CHECK(b.outputs() == OutputSet(Output::fan, Output::process_valve));
    }
  }
}

TEST_CASE("a reset restores gas and circulation over a hot load only where each is known") {
  struct Row {
    Fact fact;
    bool value;
    OutputSet after;
  };
  using enum Output;
  for (const Row& row :
       {Row{Fact::cool_to_unload, false, OutputSet(fan, process_valve)},
        Row{Fact::cool_to_unload, true, nothing}, Row{Fact::temperature_valid, false, nothing},
        Row{Fact::door_closed, false, nothing},
        Row{Fact::elements_cool, true, OutputSet(process_valve)}}) {
    CAPTURE(name_of(row.fact));
    Bench b(full_options, Cause::power_up);
    b.force(Fact::elements_cool, false);
    b.force(Fact::cool_to_unload, false);
    b.force(row.fact, row.value);
    b.press(Fact::reset_pressed);
    b.scan(20);
    CHECK(b.outputs() == row.after);
  }
}

TEST_CASE("the circulation that a reset restored does not come back once the door was opened") {
  Bench b(full_options, Cause::power_up);
  b.force(Fact::elements_cool, false);
  b.force(Fact::cool_to_unload, false);
  b.press(Fact::reset_pressed);
  b.scan(10);
  REQUIRE(b.outputs() == OutputSet(Output::fan, Output::process_valve));
  b.open_door();
  b.scan(3);
  CHECK(b.outputs() == nothing);
  b.close_door();
  b.scan(20);
  CHECK(b.outputs() == nothing);
}

TEST_CASE("the first cause stays the first-out, whatever comes after it") {
  Bench b = stage(Phase::soak, full_options).bench;
  b.force(Fact::over_temperature, true);
  b.scan();
  REQUIRE(b.commands.first_out == Cause::over_temperature);
  b.force(Fact::limiter_healthy, false);
  b.force(Fact::estop_healthy, false);
  b.scan(3);
  CHECK(b.commands.first_out == Cause::over_temperature);
  CHECK(b.outputs() == nothing);
  b.release(Fact::over_temperature);
  b.release(Fact::limiter_healthy);
  b.press(Fact::reset_pressed);
  CHECK(b.phase() == Phase::tripped);
  CHECK(b.commands.first_out == Cause::over_temperature);
  b.release(Fact::estop_healthy);
  b.press(Fact::reset_pressed);
  CHECK(b.phase() == Phase::standby);
}

TEST_CASE("of two causes in one scan the one that explains the other is the first-out") {
  Bench b = stage(Phase::soak, full_options).bench;
  b.force(Fact::limiter_healthy, false);
  b.force(Fact::over_temperature, true);
  b.force(Fact::estop_healthy, false);
  b.scan();
  CHECK(b.commands.first_out == Cause::emergency_stop);
}

TEST_CASE("a later cause takes away what the first one left on") {
  Bench b = stage(Phase::soak, full_options).bench;
  b.force(Fact::cool_to_unload, false);
  b.force(Fact::elements_cool, false);
  b.force(Fact::over_temperature, true);
  b.scan(3);
  CHECK(b.outputs() == OutputSet(Output::fan, Output::process_valve));
  b.force(Fact::process_flow, false);
  b.scan(preset(Timer::process_flow_missing) + 1);
  CHECK(b.outputs() == OutputSet(Output::fan));
  b.scan(preset(Timer::changeover) + 2);
  CHECK(b.outputs() == OutputSet(Output::fan, Output::purge_valve));  // the other path
  b.force(Fact::fan_running, false);
  b.scan(preset(Timer::fan_not_proven) + 1);
  CHECK(b.outputs() == OutputSet(Output::purge_valve));
  b.force(Fact::purge_flow, false);
  b.scan(preset(Timer::purge_flow_missing) + 1);
  CHECK(b.outputs() == nothing);
  CHECK(b.commands.first_out == Cause::over_temperature);
}

TEST_CASE("a reset is refused while a delayed cause is there, though not for its delay yet") {
  Bench b = stage(Phase::standby, full_options).bench;
  b.force(Fact::limiter_healthy, false);
  b.scan(2);
  b.release(Fact::limiter_healthy);
  b.force(Fact::reset_pressed, false);
  b.scan();
  b.force(Fact::k1_open, false);  // in the very scan of the press
  b.force(Fact::reset_pressed, true);
  b.scan();
  CHECK(b.phase() == Phase::tripped);
  b.release(Fact::k1_open);
  b.press(Fact::reset_pressed);
  CHECK(b.phase() == Phase::standby);
}

TEST_CASE("an instrument that keeps its fault until acknowledged does not lock the reset") {
  Bench b = stage(Phase::standby, full_options).bench;
  b.force(Fact::oxygen_air_check_failed, true);
  b.scan();
  REQUIRE(b.commands.first_out == Cause::oxygen_air_check_failed);
  b.scan(5);
  const Commands reset = b.press(Fact::reset_pressed);
  CHECK(reset.acknowledge);
  b.release(Fact::oxygen_air_check_failed);  // as the acknowledged instrument does
  b.scan(5);
  CHECK(b.phase() == Phase::standby);
}

TEST_CASE("acknowledge is said in the scan of the accepted reset alone") {
  Bench b(full_options);
  unsigned said = 0;
  for (unsigned n = 0; n < 20; ++n) {
    b.force(Fact::reset_pressed, n > 3);
    b.scan();
    said += b.commands.acknowledge ? 1U : 0U;
  }
  CHECK(said == 1);
}

TEST_CASE("after a trip the next cycle needs the whole gate again") {
  for (const Phase phase : {Phase::ramp, Phase::soak}) {
    Bench b = stage(phase, full_options).bench;
    b.force(Fact::over_temperature, true);
    b.scan();
    b.release_all();
    b.press(Fact::reset_pressed);
    b.press(Fact::start_pressed);
    REQUIRE(b.phase() == Phase::purging);
    unsigned counted = 0;
    while (b.phase() == Phase::purging) {
      CHECK((b.outputs() & heat).empty());
      counted += b.commands.count_purge ? 1U : 0U;
      b.scan();
    }
    CHECK(counted >= volumes_needed);
  }
}

TEST_CASE("present causes list what is there, ripe or not, inhibits included") {
  Bench b = stage(Phase::standby, full_options).bench;
  b.open_door();
  b.force(Fact::k1_open, false);
  b.force(Fact::limiter_healthy, false);
  b.scan();
  const Facts facts(
      &b, [](const void* self, Fact fact) { return static_cast<const Bench*>(self)->fact(fact); });
  const RowSet present = b.logic.present_causes(facts);
  const auto has = [present](Cause cause) {
    return (present >> static_cast<unsigned>(cause) & 1U) != 0;
  };
  CHECK(has(Cause::k1_welded));
  CHECK(has(Cause::limiter_tripped));
  CHECK(has(Cause::door_not_closed));
  CHECK(has(Cause::gate_not_met));
  CHECK_FALSE(has(Cause::k2_welded));
  CHECK_FALSE(has(Cause::emergency_stop));
  CHECK_FALSE(has(Cause::door_opened_in_cycle));
}

TEST_CASE("every fact, output, phase and state has a name of its own") {
  std::set<std::string_view> facts;
  for (std::size_t i = 0; i < fact_count; ++i) facts.insert(name_of(static_cast<Fact>(i)));
  CHECK(facts.size() == fact_count);
  CHECK_FALSE(facts.contains("?"));
  std::set<std::string_view> outputs;
  for (std::size_t i = 0; i < output_count; ++i) outputs.insert(name_of(static_cast<Output>(i)));
  CHECK(outputs.size() == output_count);
  std::set<std::string_view> phases;
  for (std::size_t i = 0; i < phase_count; ++i) phases.insert(name_of(static_cast<Phase>(i)));
  CHECK(phases.size() == phase_count);
  CHECK(name_of(static_cast<Fact>(fact_count)) == std::string_view("?"));
  CHECK(name_of(fact_of(Timer::gate_hold)) == std::string_view("gate_hold_elapsed"));
  CHECK(name_of(fact_of(Timer::blower_unexpected)) ==
        std::string_view("blower_unexpected_elapsed"));
}
