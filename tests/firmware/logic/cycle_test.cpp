#include <vector>

#include <doctest/doctest.h>

#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

namespace {

/// One visit of a phase.
struct Visit {
  Phase phase;
  OutputSet ever;  ///< energised in any of its scans
  OutputSet last;  ///< energised in its last scan
};

/// Reset, start, and the whole programme, up to standby with the door open.
std::vector<Visit> whole_cycle(Bench& b, unsigned limit = 400) {
  std::vector<Visit> visits;
  for (unsigned n = 0; n < limit; ++n) {
    const Commands c = b.scan();
    if (visits.empty() || visits.back().phase != c.phase) {
      visits.push_back({c.phase, nothing, nothing});
    }
    visits.back().ever = visits.back().ever | c.outputs;
    visits.back().last = c.outputs;
    if (c.phase == Phase::unloading && b.phase_for == 5) b.open_door();
    if (c.phase == Phase::standby && !b.oven.door_closed && b.phase_for == 5) break;
  }
  return visits;
}

Bench in_standby(Options options) { return stage(Phase::standby, options).bench; }

}  // namespace

TEST_CASE("a whole cycle of three segments energises, phase by phase, what each machine needs") {
  using enum Output;
  for (const Options& options : every_option) {
    CAPTURE(options.oxygen_monitor);
    CAPTURE(options.jacket_cooling);
    CAPTURE(options.start_by_door);
    Bench b = in_standby(options);
    b.segments = 3;
    b.press(Fact::start_pressed);
    REQUIRE(b.phase() == Phase::purging);
    const std::vector<Visit> visits = whole_cycle(b);

    const std::vector<Phase> course{Phase::purging,   Phase::ramp,   Phase::soak, Phase::ramp,
                                    Phase::soak,      Phase::ramp,   Phase::soak, Phase::cooling,
                                    Phase::unloading, Phase::standby};
    REQUIRE(visits.size() == course.size());
    for (std::size_t i = 0; i < course.size(); ++i) {
      CAPTURE(i);
      REQUIRE(visits[i].phase == course[i]);
      const OutputSet settled = settled_outputs(course[i], options);
      switch (course[i]) {
        case Phase::standby:
          CHECK(visits[i].ever == nothing);
          break;
        case Phase::unloading:  // the elements are cool by then
          CHECK(OutputSet(fan).covers(visits[i].ever));
          CHECK(visits[i].last == nothing);
          break;
        default:
          CHECK(visits[i].last == settled);
          CHECK(settled.covers(visits[i].ever));
      }
    }
    CHECK(b.commands.first_out == Cause::none);
    CHECK(b.commands.armed == options.start_by_door);
  }
}

TEST_CASE("the programme restarts once a cycle and advances once between segments") {
  Bench b = in_standby(full_options);
  b.segments = 3;
  unsigned restarts = 0;
  unsigned advances = 0;
  b.force(Fact::start_pressed, true);
  for (unsigned n = 0; n < 150; ++n) {
    b.scan();
    if (b.commands.programme_restart) {
      ++restarts;
      CHECK(b.phase() == Phase::purging);
    }
    advances += b.commands.programme_advance ? 1U : 0U;
  }
  CHECK(b.phase() == Phase::unloading);
  CHECK(restarts == 1);
  CHECK(advances == 2);
}

TEST_CASE(
    "a door-started machine runs cycle after cycle by its door, a button-started one does not") {
  for (const Options& options : every_option) {
    CAPTURE(options.start_by_door);
    Bench b = in_standby(options);
    b.press(Fact::start_pressed);
    for (unsigned cycle = 0; cycle < 4; ++cycle) {
      CAPTURE(cycle);
      whole_cycle(b);
      REQUIRE(b.phase() == Phase::standby);
      CHECK(b.outputs() == nothing);
      b.close_door();
      b.scan(3);
      if (!options.start_by_door) {
        CHECK(b.phase() == Phase::standby);
        b.press(Fact::start_pressed);
      }
      REQUIRE(b.phase() == Phase::purging);
      CHECK_FALSE(b.commands.armed);
    }
  }
}

TEST_CASE(
    "stop ends heating and purging again in cooling, and purging in standby, in the same scan") {
  for (const Options& options : every_option) {
    for (const Phase phase :
         {Phase::purging, Phase::ramp, Phase::soak, Phase::repurging, Phase::unloading}) {
      CAPTURE(text(phase));
      Bench b = stage(phase, options).bench;
      b.force(Fact::stop_pressed, true);
      b.scan();
      const bool idle = phase == Phase::purging || phase == Phase::unloading;
      CHECK(b.phase() == (idle ? Phase::standby : Phase::cooling));
      CHECK((b.outputs() & heat).empty());
      CHECK_FALSE(b.outputs().has(Output::purge_valve));
      b.release_all();
      b.scan(60);
      CHECK(b.phase() == (idle ? Phase::standby : Phase::unloading));
      CHECK(b.outputs() == nothing);
      CHECK_FALSE(b.commands.armed);
    }
  }
}

TEST_CASE("stop in cooling or flushing changes nothing: the load needs its gas") {
  for (const Phase phase : {Phase::cooling, Phase::flushing}) {
    Bench b = stage(phase, full_options).bench;
    b.force(Fact::stop_pressed, true);
    for (unsigned n = 0; n < 10; ++n) {
      b.scan();
      CHECK(b.phase() == phase);
      CHECK(b.outputs() == settled_outputs(phase, full_options));
    }
  }
}

TEST_CASE("stop wins over oxygen that rises in the same scan") {
  Bench b = stage(Phase::soak, full_options).bench;
  b.force(Fact::oxygen_above_hold, true);
  b.force(Fact::stop_pressed, true);
  b.scan();
  CHECK(b.phase() == Phase::cooling);
  CHECK((b.outputs() & heat).empty());
  b.scan();
  CHECK(b.phase() == Phase::flushing);
}

TEST_CASE("a trip wins over stop and over the normal course in the same scan") {
  Bench b = stage(Phase::soak, full_options).bench;
  b.force(Fact::stop_pressed, true);
  b.force(Fact::soak_complete, true);
  b.force(Fact::last_segment, true);
  b.force(Fact::estop_healthy, false);
  b.scan();
  CHECK(b.phase() == Phase::tripped);
  CHECK(b.commands.first_out == Cause::emergency_stop);
  CHECK(b.outputs() == nothing);
}
