#include <doctest/doctest.h>

#include "fixture.hpp"

using namespace ovenproof;
using test::Recording;

TEST_CASE("A step at a time is done that long after the case began") {
  const Recording r("steps: [{at: 5 s, hold: stop}]\nuntil: 1 s", "hands.stop");
  // Done before the scan that ends 10 ms later.
  CHECK(r.first(1.0) == 5010);
  CHECK(r.result().ended_ms - r.result().began_ms == 6000);
}

TEST_CASE("A step after another counts from that one") {
  const Recording r("steps: [{at: 5 s, note: first}, {after: 2 s, hold: stop}]", "hands.stop");
  CHECK(r.first(1.0) == 7010);
}

TEST_CASE("A step that does not say when is done together with the one above") {
  const Recording r("steps: [{at: 3 s, note: first}, {hold: stop}]", "hands.stop");
  CHECK(r.first(1.0) == 3010);
}

TEST_CASE("A step at zero comes before the first scan") {
  const Recording r("steps: [{at: 0 s, hold: stop}]", "hands.stop");
  CHECK(r.first(1.0) == 10);
}

TEST_CASE("A step waits for its condition, and for the time it adds") {
  const std::string text =
      "steps:\n"
      "  - {at: 1 s, door: open}\n"
      "  - {when: plant.door_opening > 0.5, hold: stop}\n"
      "  - {when: plant.door_opening = 1, after: 1 s, hold: start}\n";
  const Recording door(text, "plant.door_opening");
  const Recording stop(text, "hands.stop");
  const Recording start(text, "hands.start");
  REQUIRE(door.result().passed());
  const long pressed = stop.first(1.0);
  REQUIRE(pressed > 0);
  CHECK(door.at(static_cast<std::uint64_t>(pressed) - 10) > 0.5);
  CHECK(door.at(static_cast<std::uint64_t>(pressed) - 20) <= 0.5);
  CHECK(start.first(1.0) == door.first(1.0) + 1010);
}

TEST_CASE("A condition that is true already does not wait") {
  const Recording r("steps: [{when: plant.gas < 1000 degC, hold: stop}]", "hands.stop");
  CHECK(r.first(1.0) == 10);
}

TEST_CASE("An edge that a condition asks for must come after the step above") {
  const auto result = test::play_text(
      "steps: [{at: 1 s, hold: stop}, {after: 1 s, note: held},"
      " {when: rises(hands.stop), timeout: 2 s, note: again}]");
  CHECK_FALSE(result.passed());
  REQUIRE(result.problems.size() == 1);
  CHECK(result.problems[0] == "step 3 was never due: `rises(hands.stop)` did not come within 2 s");
  CHECK(result.ended_ms - result.began_ms == 4000);
}

TEST_CASE("A step on a phase is done when the sequence is found in it") {
  const std::string text =
      "start: standby\n"
      "steps: [{at: 1 s, press: start}, {on: purging, after: 2 s, hold: stop}]";
  const Recording phase(text, "phase");
  const Recording stop(text, "hands.stop");
  const long purging = phase.first(static_cast<double>(logic::Phase::purging));
  REQUIRE(purging > 1000);
  CHECK(stop.first(1.0) == purging + 2010);
}

TEST_CASE("A phase that does not come in time cannot be played") {
  const auto result = test::play_text("start: standby\nsteps: [{on: soak, timeout: 3 s, note: x}]");
  REQUIRE(result.problems.size() == 1);
  CHECK(result.problems[0] == "step 1 was never due: the phase soak did not come within 3 s");
}

TEST_CASE("A time that has passed when its turn comes cannot be played") {
  const auto result = test::play_text(
      "steps: [{when: plant.gas > 0 degC, after: 5 s, note: late}, {at: 2 s, hold: stop}]");
  REQUIRE(result.problems.size() == 1);
  CHECK(result.problems[0] ==
        "step 2 was due at 2 s into the case, before the step above was done");
}

TEST_CASE("A case that ends on a condition ends in the scan in which it comes") {
  const Recording r(
      "steps: [{at: 1 s, door: open}]\nuntil: {when: plant.door_opening > 0.5, timeout: 1 min}",
      "plant.door_opening");
  CHECK(r.result().passed());
  CHECK(r.greatest() > 0.5);
  CHECK(r.greatest() < 0.6);
}

TEST_CASE("A case whose end does not come in time fails") {
  const auto result = test::play_text("until: {when: plant.gas > 500 degC, timeout: 2 s}");
  REQUIRE(result.problems.size() == 1);
  CHECK(result.problems[0].find("`plant.gas > 500 degC`, which did not come within 2 s") !=
        std::string::npos);
  CHECK_FALSE(result.passed());
}
