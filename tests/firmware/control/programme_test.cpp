#include "firmware/control/programme.hpp"

#include <limits>

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr Milliseconds scan{10};
constexpr ProgrammeCommands ramp{.ramp = true};
constexpr ProgrammeCommands soak{.soak = true};
constexpr ProgrammeCommands idle{};

/// One segment to 350 degC at 10 K/min, soak 10 min within 5 K, no ramp lag limit.
settings::Programme one_segment() {
  settings::Programme p;
  p.segment_count = 1;
  p.soak_band = Kelvins{5.0F};
  p.ramp_lag_limit = Kelvins{0.0F};
  p.segments[0] = {Celsius{350.0F}, 10.0F, Milliseconds{600'000}};
  return p;
}

struct Bench {
  settings::Programme settings = one_segment();
  Programme programme;

  void run(ProgrammeCommands commands, float measured, int scans, bool valid = true) {
    for (int i = 0; i < scans; ++i)
      programme.update(commands, Celsius{measured}, valid, settings, scan);
  }
  /// As an oven that follows its setpoint perfectly.
  void follow(ProgrammeCommands commands, int scans) {
    for (int i = 0; i < scans; ++i)
      programme.update(commands, programme.setpoint(), true, settings, scan);
  }
  [[nodiscard]] ProgrammeFacts facts() const { return programme.facts(settings); }
};

/// A bench whose setpoint has arrived at 350 degC and that has soaked for `soaked_s` seconds.
Bench soaking(int soaked_s) {
  Bench bench;
  bench.run(ramp, 350.0F, 2);
  bench.run(soak, 350.0F, soaked_s * 100);
  return bench;
}

}  // namespace

TEST_CASE("the setpoint starts at the measured temperature, up or down") {
  for (const float start : {23.5F, 349.0F, 350.0F, 412.25F}) {
    Bench bench;
    bench.run(ramp, start, 1);
    CHECK(bench.programme.active());
    CHECK(bench.programme.setpoint() == Celsius{start});
  }
}

TEST_CASE("the setpoint moves at the segment's rate and stops at the target exactly") {
  Bench bench;
  bench.run(ramp, 20.0F, 1);
  bench.run(ramp, 20.0F, 6'000);
  CHECK(bench.programme.setpoint().value == doctest::Approx(30.0).epsilon(1e-6));
  CHECK_FALSE(bench.facts().ramp_complete);
  bench.run(ramp, 20.0F, 32 * 6'000 - 1);
  CHECK_FALSE(bench.facts().ramp_complete);
  bench.run(ramp, 20.0F, 2);
  CHECK(bench.facts().ramp_complete);
  CHECK(bench.programme.setpoint() == Celsius{350.0F});
  bench.run(ramp, 20.0F, 100);
  CHECK(bench.programme.setpoint() == Celsius{350.0F});
}

TEST_CASE("a target below is ramped down to") {
  Bench bench;
  bench.run(ramp, 450.0F, 1);
  bench.run(ramp, 450.0F, 6'000);
  CHECK(bench.programme.setpoint().value == doctest::Approx(440.0).epsilon(1e-6));
  bench.run(ramp, 450.0F, 9 * 6'000 + 1);
  CHECK(bench.facts().ramp_complete);
}

TEST_CASE("the slowest ramp still moves the setpoint at high temperature") {
  Bench bench;
  bench.settings.segments[0].ramp_K_per_min = 0.1F;
  bench.settings.segments[0].target = Celsius{1'000.0F};
  bench.run(ramp, 900.0F, 1 + 10 * 6'000);
  CHECK(bench.programme.setpoint().value == doctest::Approx(901.0).epsilon(1e-6));
}

TEST_CASE("the ramp waits while the oven lags by more than the ramp lag limit, and then goes on") {
  Bench bench;
  bench.settings.ramp_lag_limit = Kelvins{20.0F};
  bench.run(ramp, 20.0F, 100'000);  // the oven does not follow at all
  CHECK(bench.programme.setpoint().value == doctest::Approx(40.0).epsilon(1e-3));
  const Celsius held = bench.programme.setpoint();
  bench.run(ramp, 20.0F, 1'000);
  CHECK(bench.programme.setpoint() == held);
  bench.run(ramp, 39.0F, 600);
  CHECK(bench.programme.setpoint().value == doctest::Approx(41.0).epsilon(1e-3));
  bench.run(ramp, 500.0F, 600);  // ahead is not behind
  CHECK(bench.programme.setpoint().value == doctest::Approx(42.0).epsilon(1e-3));
}

TEST_CASE("the ramp lag limit holds a falling ramp as well") {
  Bench bench;
  bench.settings.ramp_lag_limit = Kelvins{20.0F};
  bench.run(ramp, 500.0F, 100'000);
  CHECK(bench.programme.setpoint().value == doctest::Approx(480.0).epsilon(1e-3));
}

TEST_CASE("soak time is complete after the time in the band, not a scan sooner") {
  Bench bench = soaking(0);
  bench.run(soak, 350.0F, 59'999);
  CHECK_FALSE(bench.facts().soak_complete);
  bench.run(soak, 350.0F, 1);
  CHECK(bench.facts().soak_complete);
}

TEST_CASE("soak counts up to the edge of the band and pauses beyond, above and below") {
  for (const float outside : {355.01F, 344.99F}) {
    Bench bench = soaking(300);
    bench.run(soak, outside, 1'000'000);
    CHECK(bench.programme.soaked() == Milliseconds{300'000});
    CHECK_FALSE(bench.facts().soak_complete);
    bench.run(soak, outside > 350.0F ? 355.0F : 345.0F, 30'000);
    CHECK(bench.facts().soak_complete);
  }
}

TEST_CASE("soak does not count before the setpoint is at the target") {
  Bench bench;
  bench.run(soak, 346.0F, 1 + 2'400);  // in the band all along; 4 K at 10 K/min
  CHECK(bench.programme.soaked() <= Milliseconds{20});
  CHECK(bench.facts().ramp_complete);
}

TEST_CASE("soak does not count while only the ramp is commanded") {
  Bench bench;
  bench.run(ramp, 350.0F, 100'000);
  CHECK(bench.facts().ramp_complete);
  CHECK(bench.programme.soaked() == Milliseconds{0});
}

TEST_CASE("going back to the ramp and returning keeps the soak time") {
  Bench bench = soaking(300);
  bench.run(ramp, 340.0F, 5'000);
  bench.run(soak, 350.0F, 30'000 - 1);
  CHECK_FALSE(bench.facts().soak_complete);
  bench.run(soak, 350.0F, 1);
  CHECK(bench.facts().soak_complete);
}

TEST_CASE("an interruption keeps segment and soak time, and starts bumplessly again") {
  Bench bench = soaking(300);
  bench.run(idle, 350.0F, 1);
  CHECK_FALSE(bench.programme.active());
  CHECK_FALSE(bench.facts().ramp_complete);
  bench.run(idle, 320.0F, 60'000);
  bench.run(ramp, 320.0F, 1);
  CHECK(bench.programme.setpoint() == Celsius{320.0F});
  bench.follow(ramp, 3 * 6'000 + 1);
  CHECK(bench.facts().ramp_complete);
  CHECK(bench.programme.soaked() == Milliseconds{300'000});
  bench.run(soak, 350.0F, 30'000);
  CHECK(bench.facts().soak_complete);
}

TEST_CASE("a soak of no time is complete once the band has been reached, not before") {
  Bench bench;
  bench.settings.segments[0].soak = Milliseconds{0};
  bench.run(ramp, 350.0F, 2);
  bench.run(soak, 340.0F, 10'000);
  CHECK_FALSE(bench.facts().soak_complete);
  bench.run(soak, 346.0F, 1);
  CHECK(bench.facts().soak_complete);
}

TEST_CASE("advance takes one segment an edge and continues from the setpoint") {
  Bench bench;
  bench.run(ramp, 345.0F, 1 + 3'001);  // the setpoint began its way below its target
  bench.run(soak, 350.0F, 60'000);
  bench.settings.segment_count = 3;
  bench.settings.segments[1] = {Celsius{450.0F}, 20.0F, Milliseconds{60'000}};
  bench.settings.segments[2] = {Celsius{300.0F}, 5.0F, Milliseconds{0}};
  CHECK_FALSE(bench.facts().last_segment);
  const ProgrammeCommands next{.ramp = true, .advance = true};
  bench.run(next, 347.0F, 10);  // held, but one edge
  CHECK(bench.programme.segment() == 1);
  CHECK(bench.programme.soaked() == Milliseconds{0});
  CHECK_FALSE(bench.facts().soak_complete);
  CHECK(bench.programme.setpoint().value == doctest::Approx(350.0 + 20.0 / 600.0).epsilon(1e-4));
  bench.run(ramp, 347.0F, 1);
  bench.run(next, 347.0F, 1);
  CHECK(bench.programme.segment() == 2);
  CHECK(bench.facts().last_segment);
  bench.run(ramp, 347.0F, 1);
  bench.run(next, 347.0F, 1);
  CHECK(bench.programme.segment() == 2);
}

TEST_CASE("a soak of no time in a later segment is not complete by the band of an earlier one") {
  Bench bench = soaking(600);
  bench.settings.segment_count = 2;
  bench.settings.segments[1] = {Celsius{360.0F}, 10.0F, Milliseconds{0}};
  bench.run({.ramp = true, .advance = true}, 350.0F, 1);
  CHECK_FALSE(bench.facts().soak_complete);
  bench.run(soak, 350.0F, 7'000);
  CHECK(bench.facts().ramp_complete);
  CHECK_FALSE(bench.facts().soak_complete);
  bench.run(soak, 356.0F, 1);
  CHECK(bench.facts().soak_complete);
}

TEST_CASE("advancing beyond the last segment changes nothing") {
  Bench bench = soaking(600);
  CHECK(bench.facts().last_segment);
  bench.run({.soak = true, .advance = true}, 350.0F, 1);
  CHECK(bench.facts().soak_complete);
  CHECK(bench.facts().ramp_complete);
}

TEST_CASE("restart forgets everything for as long as it is commanded") {
  Bench bench = soaking(600);
  bench.run({.ramp = true, .restart = true}, 350.0F, 5);
  CHECK_FALSE(bench.programme.active());
  CHECK(bench.programme.soaked() == Milliseconds{0});
  CHECK_FALSE(bench.facts().soak_complete);
  bench.run(ramp, 25.0F, 1);
  CHECK(bench.programme.setpoint() == Celsius{25.0F});
}

TEST_CASE("without a valid measurement the setpoint waits and no soak time counts") {
  Bench bench = soaking(300);
  bench.run(soak, 350.0F, 10'000, false);
  CHECK(bench.programme.soaked() == Milliseconds{300'000});
  bench.run(soak, std::numeric_limits<float>::quiet_NaN(), 10'000);
  CHECK(bench.programme.soaked() == Milliseconds{300'000});
  CHECK(bench.programme.setpoint() == Celsius{350.0F});

  CHECK(bench.facts().ramp_complete);

  Bench fresh;
  fresh.run(ramp, 20.0F, 1'000, false);
  CHECK_FALSE(fresh.programme.active());
  fresh.run(ramp, std::numeric_limits<float>::quiet_NaN(), 1'000);
  fresh.run(ramp, std::numeric_limits<float>::infinity(), 1'000);
  CHECK_FALSE(fresh.programme.active());
  fresh.run(ramp, 42.0F, 1);
  CHECK(fresh.programme.setpoint() == Celsius{42.0F});
}
