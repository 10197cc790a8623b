#include <bit>

#include <doctest/doctest.h>

#include "stages.hpp"

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

/// An explorer branches on every fact a scan reads: what cannot matter must not be looked at.
namespace {

bool reads(const Bench& b, Fact fact) { return (b.read >> static_cast<unsigned>(fact) & 1U) != 0; }

Bench after_a_scan(Phase phase, Options options) {
  Bench b = stage(phase, options).bench;
  b.scan();
  return b;
}

}  // namespace

TEST_CASE("what only heat needs is read only where heat is demanded") {
  for (std::size_t i = 0; i < phase_count; ++i) {
    const auto phase = static_cast<Phase>(i);
    const Bench b = after_a_scan(phase, full_options);
    CAPTURE(text(phase));
    const bool hot = phase == Phase::ramp || phase == Phase::soak;
    CHECK(reads(b, Fact::no_temperature_rise) == hot);
    CHECK(reads(b, Fact::ramp_complete) == (phase == Phase::ramp));
    CHECK(reads(b, Fact::soak_complete) == (phase == Phase::soak));
  }
}

TEST_CASE("buttons are read only where they do something") {
  for (std::size_t i = 0; i < phase_count; ++i) {
    const auto phase = static_cast<Phase>(i);
    const Bench b = after_a_scan(phase, full_options);
    CAPTURE(text(phase));
    CHECK(reads(b, Fact::reset_pressed) == (phase == Phase::tripped));
    CHECK(reads(b, Fact::start_pressed) == (phase == Phase::standby));
    const bool stops = phase == Phase::purging || phase == Phase::ramp || phase == Phase::soak ||
                       phase == Phase::repurging || phase == Phase::unloading;
    CHECK(reads(b, Fact::stop_pressed) == stops);
  }
}

TEST_CASE("a machine without monitor or jacket cooling never reads their facts") {
  Options bare;
  bare.oxygen_monitor = false;
  bare.jacket_cooling = false;
  for (std::size_t i = 0; i < phase_count; ++i) {
    const auto phase = static_cast<Phase>(i);
    if (phase == Phase::flushing) continue;
    const Bench b = after_a_scan(phase, bare);
    CAPTURE(text(phase));
    for (const Fact fact :
         {Fact::oxygen_valid, Fact::oxygen_failed, Fact::oxygen_at_gate, Fact::oxygen_above_hold,
          Fact::oxygen_air_check_failed, Fact::oxygen_not_falling, Fact::oxygen_falls_too_soon,
          Fact::oxygen_frozen, Fact::damper_open, Fact::damper_closed, Fact::blower_running}) {
      CAPTURE(text(fact));
      CHECK_FALSE(reads(b, fact));
    }
  }
}

TEST_CASE("no timer's fact is read in a scan that does not run the timer") {
  for (const Options& options : every_option) {
    for (std::size_t i = 0; i < phase_count; ++i) {
      const auto phase = static_cast<Phase>(i);
      if (!reachable(phase, options)) continue;
      Bench b = stage(phase, options).bench;
      for (unsigned n = 0; n < 40; ++n) {
        if (n == 5) b.force(Fact::k1_open, false);
        if (n == 20) b.force(Fact::purge_flow, true);
        b.scan();
        for (std::size_t t = 0; t < timer_count; ++t) {
          const auto timer = static_cast<Timer>(t);
          if (reads(b, fact_of(timer))) CHECK((b.commands.timers & bit(timer)) != 0);
        }
      }
    }
  }
}

TEST_CASE("a power-up scan reads the reset button and no fact of the cycle") {
  Bench b(full_options);
  b.scan();
  CHECK(reads(b, Fact::reset_pressed));
  CHECK(std::popcount(b.read) == 1);
}

TEST_CASE("the facts read in a scan stay few") {
  // Bounds, not goals: a scan that reads more costs the explorer a factor of two a fact.
  for (std::size_t i = 0; i < phase_count; ++i) {
    const auto phase = static_cast<Phase>(i);
    const Bench b = after_a_scan(phase, full_options);
    CAPTURE(text(phase));
    CHECK(std::popcount(b.read) <= 34);
  }
}
