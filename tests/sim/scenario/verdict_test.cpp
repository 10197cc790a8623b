#include <doctest/doctest.h>

#include "fixture.hpp"

using namespace ovenproof;
using properties::Outcome;

namespace {

const std::string pressed = "steps: [{at: 1 s, hold: stop}]\nuntil: 5 s\n";

scenario::ExpectationVerdict verdict_of(const std::string& expectation) {
  return test::play_text(pressed + "expect: [" + expectation + "]\n").expectations.at(0);
}

const scenario::JudgedHazard& hazard(const scenario::CaseResult& result, const std::string& id) {
  for (const auto& each : result.hazards) {
    if (each.verdict.id == id) return each;
  }
  throw std::out_of_range(id);
}

/// Opens the door of the hot oven: the load meets air.
const std::string hot_opening =
    "start: in soak for 2 min\nsteps: [{at: 1 s, door: open}]\nuntil: 2 min\n";
const std::string oxidises =
    "shows: x\nmachine: ../machines/bronze_strip_160.yaml\n"
    "override:\n"
    "  programme: {segments: [{target: 220 degC, ramp: 8 K/min, soak: 30 min}]}\n";

scenario::CaseResult play_whole(const std::string& text) {
  scenario::OvenBank bank;
  const auto read = scenario::read_text(text, SOURCE_DIR "/scenarios/cases/test.yaml", bank);
  return test::play_case(std::get<std::vector<scenario::Case>>(read).front());
}

}  // namespace

TEST_CASE("A property that holds is met, one that does not fails its case") {
  CHECK(verdict_of("never hands.start").met);
  const auto failed = verdict_of("never hands.stop");
  CHECK_FALSE(failed.met);
  CHECK(failed.verdict.outcome == Outcome::violated);
  CHECK(failed.when_ms == 1010);
  CHECK_FALSE(test::play_text(pressed + "expect: [never hands.stop]\n").passed());
}

TEST_CASE("Scan 0 of a property is the oven before the first step") {
  CHECK(verdict_of("within 100 ms after hands.stop then hands.stop").met);
  CHECK(test::play_text("steps: [{at: 0 s, hold: stop}]\n"
                        "expect: ['within 100 ms after hands.stop: hands.stop']\n")
            .passed());
}

TEST_CASE(
    "A property that speaks of nothing that happened fails unless it says why that is right") {
  const auto vacuous = verdict_of("'within 1 s after hands.start: phase = purging'");
  CHECK(vacuous.verdict.outcome == Outcome::holds);
  CHECK(vacuous.verdict.vacuous);
  CHECK_FALSE(vacuous.met);
  CHECK(verdict_of("{property: 'within 1 s after hands.start: phase = purging',"
                   " may_be_vacuous: nobody presses start here}")
            .met);
}

TEST_CASE("A reason for being vacuous does not excuse a violation") {
  CHECK_FALSE(verdict_of("{property: never hands.stop, may_be_vacuous: no reason}").met);
}

TEST_CASE("What stays off must be off in time, and never come again") {
  const auto met = [](const std::string& steps, const std::string& expectation) {
    return test::play_text("start: in purging for 20 s\nsteps: [" + steps +
                           "]\nuntil: 20 s\nexpect: [" + expectation + "]\n")
        .expectations.at(0)
        .met;
  };
  const std::string stopped = "{at: 1 s, press: stop}";
  const std::string started_again = stopped + ", {after: 5 s, press: start}";
  const std::string valve = "{stays_off: purge_valve within 1 s after hands.stop}";
  CHECK(met(stopped, valve));
  CHECK_FALSE(met(started_again, valve));
  CHECK_FALSE(
      met("{at: 1 s, press: start}", "{stays_off: purge_valve within 1 s after hands.start}"));
  // Off in time only: that it comes again is no matter.
  CHECK(met(started_again, "{off: purge_valve within 1 s after hands.stop}"));
}

TEST_CASE("A property that the end of the run leaves undecided fails") {
  const auto undecided = verdict_of("'within 1 h after hands.stop: phase = soak'");
  CHECK(undecided.verdict.outcome == Outcome::undecided);
  CHECK_FALSE(undecided.met);
}

TEST_CASE("A hazard that occurs fails the case, though nothing was expected") {
  const auto result = play_whole(oxidises + hot_opening);
  CHECK_FALSE(hazard(result, "load_hot_in_oxygen").fine());
  CHECK_FALSE(result.passed());
  CHECK(result.failed_ms == hazard(result, "load_hot_in_oxygen").verdict.first_ms);
}

TEST_CASE("A hazard that is waived does not fail the case, and its reason is kept") {
  const auto result =
      play_whole(oxidises + hot_opening +
                 "waive: [{hazard: load_hot_in_oxygen, reason: the door cannot be locked}]\n");
  CHECK(result.passed());
  CHECK_FALSE(hazard(result, "load_hot_in_oxygen").verdict.avoided);
  CHECK(hazard(result, "load_hot_in_oxygen").waived == "the door cannot be locked");
}

TEST_CASE("Waiving one hazard leaves the others judged") {
  const auto result = play_whole(oxidises + hot_opening +
                                 "waive: [{hazard: overpressure, reason: not that one}]\n");
  CHECK_FALSE(result.passed());
}

TEST_CASE("Hazards are judged with what happened before the case began") {
  // In the soak the heater has long been on: that was a start by the button, not by itself.
  const auto result = test::play_text("start: in soak\nuntil: 30 s\n");
  CHECK(result.passed());
  CHECK(hazard(result, "energised_without_start").verdict.avoided);
}

TEST_CASE("A start that is never reached fails the case, and says why") {
  const auto result = test::play_text("start: in purging for 20 h\n");
  CHECK_FALSE(result.passed());
  REQUIRE(result.problems.size() == 1);
  CHECK(result.problems[0].find("the oven never came to \"in purging for 72000000 ms\": "
                                "the cycle went on without it") == 0);
}

TEST_CASE("A failure tells at most twelve events, the last up to it, in order") {
  const auto result = test::play_text(
      "start: in soak\n"
      "steps: [{at: 5 s, estop: pressed for 1 s}, {at: 30 s, press: reset}]\n"
      "expect: [never hands.estop]\nuntil: 30 s\n");
  REQUIRE(result.failed_ms);
  CHECK(*result.failed_ms == result.began_ms + 5010);
  REQUIRE(result.events.size() == 12);
  for (std::size_t i = 1; i < result.events.size(); ++i) {
    CHECK(result.events[i - 1].ms <= result.events[i].ms);
  }
  CHECK(result.events.back().ms <= *result.failed_ms);
  bool told = false;
  for (const auto& event : result.events) told = told || event.text == "estop pressed for 1 s";
  CHECK(told);
}
