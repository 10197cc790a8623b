#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "oven_rig.hpp"
#include "sim/cycle/run.hpp"

using namespace ovenproof;
using cycle::Event;
using cycle::EventKind;

namespace {

std::vector<std::string> texts(const std::vector<Event>& events, EventKind kind) {
  std::vector<std::string> all;
  for (const Event& event : events) {
    if (event.kind == kind) all.push_back(event.text);
  }
  return all;
}

}  // namespace

TEST_CASE("the timeline of a whole cycle tells phases, hands, trips and outputs in their order") {
  const cycle::RunResult result = cycle::run(rig::testing::quick_oven(), {.cycles = 1}, {}, {});
  CHECK(texts(result.events, EventKind::phase) ==
        std::vector<std::string>{"standby", "purging", "ramp", "soak", "cooling", "unloading",
                                 "standby"});
  CHECK(texts(result.events, EventKind::trip) ==
        std::vector<std::string>{"TRIP power returned: reset before anything moves",
                                 "reset: no trip any more"});
  CHECK(texts(result.events, EventKind::person).front() == "presses reset");
  CHECK(texts(result.events, EventKind::person).back() == "is done");
  CHECK(texts(result.events, EventKind::hazard).empty());
  CHECK(std::is_sorted(result.events.begin(), result.events.end(),
                       [](const Event& a, const Event& b) { return a.ms < b.ms; }));
  const std::vector<std::string> outputs = texts(result.events, EventKind::output);
  for (const std::string name :
       {"k1", "k2", "fan", "purge_valve", "process_valve", "damper", "blower"}) {
    CAPTURE(name);
    const auto on = std::find(outputs.begin(), outputs.end(), name + " on");
    const auto off = std::find(outputs.begin(), outputs.end(), name + " off");
    REQUIRE(on != outputs.end());
    REQUIRE(off != outputs.end());
    CHECK(on < off);
  }
  // Lamps and horn are no news.
  CHECK(std::find(outputs.begin(), outputs.end(), "run_lamp on") == outputs.end());
}

TEST_CASE("an event is dated by the scan in which it can first be seen") {
  std::uint64_t purging_ms = 0;
  const cycle::RunResult result = cycle::run(
      rig::testing::quick_oven(), {.cycles = 1},
      [&purging_ms](const rig::Rig& rig) {
        if (purging_ms == 0 && rig.controller().commands().phase == logic::Phase::purging) {
          purging_ms = rig.now_ms();
        }
      },
      {});
  const auto purging = std::find_if(result.events.begin(), result.events.end(),
                                    [](const Event& event) { return event.text == "purging"; });
  REQUIRE(purging != result.events.end());
  CHECK(purging->ms == purging_ms);
}
