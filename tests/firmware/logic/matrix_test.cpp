#include "firmware/logic/matrix.hpp"

#include <random>
#include <set>
#include <string_view>

#include <doctest/doctest.h>

#include "judge.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

TEST_CASE("each cause, in each phase and on each machine, does what its hazard asks and no more") {
  for (const Options& options : every_option) {
    const auto stages = stages_of(options);
    REQUIRE(stages.size() == (options.oxygen_monitor ? phase_count : phase_count - 1));
    for (std::size_t i = 0; i < cause_count; ++i) {
      const Complaints found = judge_cause(static_cast<Cause>(i), stages, Depth::with_memory);
      for (const std::string& complaint : found) {
        FAIL_CHECK("monitor " << options.oxygen_monitor << " jacket " << options.jacket_cooling
                              << " " << complaint);
      }
      CHECK(found.empty());
    }
  }
}

TEST_CASE("each cause of the matrix is expected by this test, by facts, by story or by birth") {
  std::set<Cause> expected{Cause::power_up,
                           Cause::watchdog_restart,
                           Cause::gate_not_met_in_time,
                           Cause::heating_not_done_in_time,
                           Cause::cooling_not_done_in_time,
                           Cause::repurge_limit};
  for (const TripExpectation& e : trip_expectations()) CHECK(expected.insert(e.cause).second);
  for (const InhibitExpectation& e : inhibit_expectations()) CHECK(expected.insert(e.cause).second);
  CHECK(expected.size() == cause_count);
}

TEST_CASE("each row of the matrix hangs on one fact or on a function, not on both") {
  for (const Row& row : matrix) {
    CHECK((row.condition.fact == Fact::count) == (row.condition.otherwise != nullptr));
  }
}

TEST_CASE("each row of the matrix has a key and a text of its own") {
  std::set<std::string_view> keys;
  std::set<std::string_view> texts;
  for (const Row& row : matrix) {
    CHECK(keys.insert(row.key).second);
    CHECK(texts.insert(row.text).second);
    CHECK_FALSE(std::string_view(row.text).empty());
  }
}

TEST_CASE("the rows looked at are those that the machine has, of the phase, whose outputs fit") {
  for (const Options& options : every_option) {
    for (std::size_t p = 0; p < phase_count; ++p) {
      for (unsigned bits = 0; bits < 256; ++bits) {
        const OutputSet on = OutputSet::of_bits(static_cast<std::uint8_t>(bits));
        RowSet expected = 0;
        for (const Row& row : matrix) {
          const bool fitted = (row.needs != Needs::oxygen_monitor || options.oxygen_monitor) &&
                              (row.needs != Needs::jacket_cooling || options.jacket_cooling);
          const bool outputs_fit = (on & row.condition.while_on) == row.condition.while_on &&
                                   (on & row.condition.while_off) == OutputSet();
          if (fitted && row.phases.has(static_cast<Phase>(p)) && outputs_fit)
            expected |= RowSet{1} << static_cast<unsigned>(row.cause);
        }
        CHECK(rows_in(static_cast<Phase>(p), on, options) == expected);
      }
    }
  }
}
