#include <doctest/doctest.h>

#include "fixture.hpp"

using namespace ovenproof;
using test::Recording;

namespace {

double phase(logic::Phase p) { return static_cast<double>(p); }

/// Text of one step a second into the case, with a start.
std::string at_1_s(const std::string& action, const std::string& start = "cold",
                   const std::string& until = "10 s") {
  return "start: " + start + "\nsteps: [{at: 1 s, " + action + "}]\nuntil: " + until + "\n";
}

}  // namespace

TEST_CASE("A button pressed is let go after its time, 300 ms unless said") {
  CHECK(Recording(at_1_s("press: stop"), "hands.stop").lasts(1.0) == 300);
  CHECK(Recording(at_1_s("press: stop for 2 s"), "hands.stop").lasts(1.0) == 2000);
  CHECK(Recording(at_1_s("press: reset for 20 ms"), "hands.reset").lasts(1.0) == 20);
}

TEST_CASE("A button held stays until it is released") {
  const std::string text = "steps: [{at: 1 s, hold: start}, {at: 4 s, release: start}]\n";
  CHECK(Recording(text, "hands.start").lasts(1.0) == 3000);
  CHECK(Recording(at_1_s("hold: start"), "hands.start").lasts(1.0) == 10'000);
}

TEST_CASE("Pressing start in standby starts a cycle, and nothing does without it") {
  CHECK(Recording(at_1_s("press: start", "standby"), "phase").first(phase(logic::Phase::purging)) >
        1000);
  CHECK(
      Recording(at_1_s("note: nothing", "standby"), "phase").first(phase(logic::Phase::purging)) ==
      -1);
}

TEST_CASE("The door opens for its time and closes again") {
  const Recording r(at_1_s("door: open for 10 s", "standby", "25 s"), "plant.door_opening");
  CHECK(r.greatest() == 1.0);
  CHECK(r.at(900) == 0.0);
  CHECK(r.at(26'000) == 0.0);
}

TEST_CASE("The emergency stop drops the contactors through the hard-wired chain") {
  const Recording r(at_1_s("estop: pressed for 2 s", "in soak for 30 s"), "plant.k1_closed");
  CHECK(r.at(500) == 1.0);
  CHECK(r.at(2000) == 0.0);
  CHECK(r.at(9000) == 0.0);  // released, and still off
}

TEST_CASE("The load is exchanged through an open door only") {
  const auto shut = test::play_text(at_1_s("load: exchange", "standby"));
  REQUIRE(shut.problems.size() == 1);
  CHECK(shut.problems[0].find("the door is not open far enough") != std::string::npos);
  const auto open = test::play_text(
      "start: standby\nsteps: [{door: open}, {when: plant.door_opening = 1, load: exchange}]\n");
  CHECK(open.passed());
}

TEST_CASE("Somebody reaches in through an open door only, for the time said") {
  const auto shut = test::play_text(at_1_s("reach: in", "standby"));
  REQUIRE(shut.problems.size() == 1);
  CHECK(shut.problems[0].find("nobody can reach in") != std::string::npos);
  const std::string open = "start: standby\nsteps: [{door: open}, {when: plant.door_opening = 1, ";
  CHECK(Recording(open + "reach: in for 4 s}]\n", "hands.reaching_in").lasts(1.0) == 4000);
  CHECK(
      Recording(open + "reach: in}, {after: 5 s, reach: out}]\n", "hands.reaching_in").lasts(1.0) ==
      5000);
}

TEST_CASE("Closing the door, by its step or by its time, pulls back first") {
  const std::string open = "start: standby\nsteps: [{door: open}, {when: plant.door_opening = 1, ";
  CHECK(Recording(open + "reach: in}, {after: 3 s, door: closed}]\n", "hands.reaching_in")
            .lasts(1.0) == 3000);
  const std::string timed =
      "start: standby\nsteps: [{door: open for 6 s}, {after: 4 s, reach: in}]\n";
  CHECK(Recording(timed, "hands.reaching_in").lasts(1.0) == 2000);
}

TEST_CASE("A fresh load is cold") {
  const std::string text =
      "start: in unloading\n"
      "steps: [{door: open}, {when: plant.door_opening = 1, load: exchange}]\nuntil: 1 s\n";
  const Recording r(text, "plant.load");
  CHECK(r.at(0) > 40.0);
  CHECK(r.least() < 25.0);
}

TEST_CASE("A signal fault acts on the wiring from its onset to its end") {
  const Recording r(at_1_s("fault: limiter_healthy open for 2 s"), "fact.limiter_healthy");
  CHECK(r.at(900) == 1.0);
  CHECK(r.at(1500) == 0.0);
  CHECK(r.at(2900) == 0.0);
  CHECK(r.at(3500) == 1.0);
}

TEST_CASE("A fault of all outputs is a fault of each of them, the controller goes on") {
  const std::string lost = at_1_s("fault: all_outputs open for 3 s", "in soak for 30 s");
  const Recording coils(lost, "board.anything");
  CHECK(coils.at(500) == 1.0);
  CHECK(coils.at(1500) == 0.0);
  CHECK(Recording(lost, "board.fan").at(2500) == 0.0);
  CHECK(Recording(lost, "powered").lasts(0.0) == 0);
}

TEST_CASE("A fault of all contacts or of all analogue inputs shows at every one") {
  CHECK(Recording(at_1_s("fault: all_contacts open for 3 s", "standby"), "input.door_closed_1")
            .lasts(0.0) == 3000);
  CHECK(Recording(at_1_s("fault: all_contacts open for 3 s", "standby"), "input.stop_button")
            .lasts(0.0) == 3000);
  const std::string high = at_1_s("fault: all_analogue gain 1.1", "in soak for 30 s");
  const Recording degC(high, "reading.temperature");
  CHECK(degC.at(9000) > degC.at(500) + 5.0);
  CHECK(
      test::errors_of(test::head() + at_1_s("fault: all_outputs gain 2")).find("only on or off") !=
      std::string::npos);
}

TEST_CASE("Crossed contacts read alike, each by a fault of its own") {
  const Recording r(at_1_s("fault: [start_button crossed_with gas_supply_ok]", "standby"),
                    "input.start_button");
  CHECK(r.at(500) == 0.0);
  CHECK(r.at(1500) == 1.0);
  CHECK(test::errors_of(test::head() + at_1_s("fault: start_button crossed_with te_a"))
            .find("another contact input") != std::string::npos);
  CHECK(test::errors_of(test::head() + at_1_s("fault: start_button crossed_with start_button"))
            .find("crossed with itself") != std::string::npos);
}

TEST_CASE("An analogue fault has the value it says, in the point's unit") {
  // 20.644 mV is 500 degC on type K at 0 degC (ITS-90); the terminals are at room temperature.
  const Recording r(at_1_s("fault: [te_a stuck_at 20.644 mV, te_b stuck_at 20.644 mV]"),
                    "reading.temperature");
  CHECK(r.at(900) == doctest::Approx(20.0).epsilon(0.1));
  CHECK(r.at(5000) == doctest::Approx(519.0).epsilon(0.01));
}

TEST_CASE("A signal fault is cleared by its point, and leaves others as they are") {
  const std::string text =
      "steps:\n"
      "  - {at: 1 s, fault: [limiter_healthy open, gas_supply_ok open]}\n"
      "  - {at: 3 s, clear: limiter_healthy}\n";
  const Recording limiter(text, "fact.limiter_healthy");
  const Recording supply(text, "fact.gas_supply_ok");
  CHECK(limiter.at(2500) == 0.0);
  CHECK(limiter.at(3500) == 1.0);
  CHECK(supply.at(3500) == 0.0);
}

TEST_CASE("A component fault grows over its time, ends, and acts on the plant") {
  const std::string text = at_1_s("fault: fan_slow 100 % over 20 s for 30 s", "in soak", "60 s");
  const Recording r(text, "plant.fan_airflow");
  CHECK(r.at(500) == 1.0);
  CHECK(r.at(8000) < 0.95);
  CHECK(r.at(8000) > 0.3);
  CHECK(r.at(24'000) < 0.2);
}

TEST_CASE("A component is cleared by its name, and leaves others as they are") {
  const std::string text =
      "start: standby\n"
      "steps:\n"
      "  - {at: 1 s, fault: [purge_valve_stuck_open, process_valve_stuck_open]}\n"
      "  - {at: 10 s, clear: purge_valve_stuck_open}\nuntil: 20 s\n"
      "waive:\n  - {hazard: gas_flow_too_high, reason: two valves broken on purpose}\n";
  const Recording purge(text, "plant.purge_valve");
  const Recording process(text, "plant.process_valve");
  CHECK(purge.at(9000) == 1.0);
  CHECK(purge.at(29'000) == 0.0);
  CHECK(process.at(29'000) == 1.0);
}

TEST_CASE("Everything that is broken is cleared at once") {
  const std::string text =
      "steps:\n"
      "  - {at: 1 s, fault: [limiter_healthy open, purge_valve_stuck_open], converter: stop}\n"
      "  - {at: 5 s, clear: all}\nuntil: 20 s\n";
  CHECK(Recording(text, "fact.limiter_healthy").at(24'000) == 1.0);
  CHECK(Recording(text, "plant.purge_valve").at(24'000) == 0.0);
}

TEST_CASE("A converter that stands still goes on when everything is cleared") {
  const std::string text =
      "start: in ramp for 2 min\n"
      "steps: [{at: 1 s, converter: stop}, {at: 2 s, clear: all}]\nuntil: 15 s\n";
  const Recording r(text, "input.te_a");
  CHECK(r.at(1500) == r.at(1900));
  CHECK(r.at(16'000) != r.at(1900));
}

TEST_CASE("Power off ends the controller, and on again it is tripped with nothing energised") {
  const std::string text = at_1_s("power: off for 3 s", "in soak for 30 s");
  const Recording powered(text, "powered");
  CHECK(powered.at(900) == 1.0);
  CHECK(powered.lasts(0.0) == 3000);
  const Recording anything(text, "board.anything");
  CHECK(anything.at(900) == 1.0);
  CHECK(anything.at(9000) == 0.0);
  const Recording state(text, "phase");
  CHECK(state.at(9000) == phase(logic::Phase::tripped));
}

TEST_CASE("A stall longer than the watchdog's time restarts the controller") {
  const std::string text = at_1_s("stall: 500 ms", "in soak");
  const Recording r(text, "first_out");
  CHECK(r.at(9000) == static_cast<double>(logic::Cause::watchdog_restart));
  CHECK(Recording(at_1_s("stall: 20 ms", "in soak"), "first_out").at(9000) ==
        static_cast<double>(logic::Cause::none));
}

TEST_CASE("Settings flipped in the store are refused at the next power-up") {
  const std::string text =
      "start: standby\nsteps: [{at: 1 s, store: flip 40}, {power: off for 1 s}]";
  CHECK(Recording(text, "fact.settings_valid").at(9000) == 0.0);
  const std::string twice =
      "start: standby\n"
      "steps: [{at: 1 s, store: flip 40}, {store: flip 40}, {power: off for 1 s}]";
  CHECK(Recording(twice, "fact.settings_valid").at(9000) == 1.0);
}

TEST_CASE("A store that fails leaves no settings") {
  const std::string text =
      "start: standby\nsteps: [{at: 1 s, store: failing}, {power: off for 1 s}]";
  CHECK(Recording(text, "fact.settings_valid").at(9000) == 0.0);
}

TEST_CASE("The clock jumps, stops and drifts") {
  const auto trips_by_clock = [](const std::string& action) {
    const Recording r(at_1_s(action, "in soak"), "phase");
    return r.at(10'000) == phase(logic::Phase::tripped);
  };
  CHECK(trips_by_clock("clock: jump 1 h"));
  CHECK(trips_by_clock("clock: jump -5 s"));
  CHECK(trips_by_clock("clock: stop"));
  CHECK_FALSE(trips_by_clock("clock: drift 100 ppm"));
}

TEST_CASE("The converter stands still for its time") {
  const std::string text = at_1_s("converter: stop for 5 s", "in ramp for 2 min", "15 s");
  const Recording r(text, "input.te_a");
  CHECK(r.at(1500) == r.at(5500));
  CHECK(r.at(14'000) != r.at(5500));
}

TEST_CASE("The supply falls for its time and comes back") {
  const std::string text = at_1_s("supply: 0 kPa for 1 s", "in purging for 30 s");
  const Recording r(text, "plant.purge_flow");
  CHECK(r.at(900) > 50.0);
  CHECK(r.at(1900) < 1.0);
  CHECK(r.at(3500) > 50.0);
}

TEST_CASE("Room temperature and ventilation are those of the surroundings") {
  const Recording warm(at_1_s("ambient: 60 degC", "cold", "10 min"), "plant.casing");
  const Recording usual(at_1_s("note: nothing", "cold", "10 min"), "plant.casing");
  CHECK(warm.at(500'000) > usual.at(500'000) + 1.0);
  const Recording closed(at_1_s("ventilation: 0 %", "in purging", "5 min"), "plant.room_oxygen");
  const Recording open(at_1_s("note: nothing", "in purging", "5 min"), "plant.room_oxygen");
  CHECK(closed.at(300'000) < open.at(300'000));
}
