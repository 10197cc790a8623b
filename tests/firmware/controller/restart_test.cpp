#include <doctest/doctest.h>

#include "bench.hpp"

using namespace ovenproof;
using namespace ovenproof::controller::testing;

namespace {

/// A bench that purges: fan and purge valve are on.
Bench purging(const settings::Settings& settings = quick_settings()) {
  Bench bench(settings);
  bench.run(3'000);
  bench.reset();
  bench.press(DigitalIn::start_button);
  bench.run(200);
  bench.field.set(DigitalIn::fan_running, true);
  bench.field.set(DigitalIn::purge_flow, true);
  bench.run(1'500);
  REQUIRE(bench.phase() == Phase::purging);
  REQUIRE(bench.lit(DigitalOut::fan));
  REQUIRE(bench.lit(DigitalOut::purge_valve));
  return bench;
}

/// The oven comes to rest when it is left alone.
void come_to_rest(Bench& bench) {
  bench.field = oven_at_rest();
  bench.run(1'000);
}

}  // namespace

TEST_CASE("before its first scan a controller is tripped already, and tells by what") {
  const Bench powered;
  CHECK(powered.phase() == Phase::tripped);
  CHECK(powered.first_out() == Cause::power_up);
  const controller::Controller restarted(settings::Decoded{}, hal::ResetCause::watchdog);
  CHECK(restarted.commands().phase == Phase::tripped);
  CHECK(restarted.commands().first_out == Cause::watchdog_restart);
}

TEST_CASE("power-up is a trip of its own: nothing moves until reset, then nothing until start") {
  Bench bench;
  bench.run(3'000);
  CHECK(bench.phase() == Phase::tripped);
  CHECK(bench.first_out() == Cause::power_up);
  CHECK_FALSE(bench.anything_energised());
  bench.press(DigitalIn::start_button);
  CHECK(bench.phase() == Phase::tripped);
  CHECK_FALSE(bench.anything_energised());
  bench.reset();
  CHECK(bench.phase() == Phase::standby);
  CHECK(bench.first_out() == Cause::none);
  CHECK_FALSE(bench.anything_energised());
  bench.press(DigitalIn::start_button);
  CHECK(bench.anything_energised());
}

TEST_CASE("a processor that stops scanning is restarted by the watchdog, and stays tripped") {
  Bench bench = purging();
  bench.idle(250);
  CHECK(bench.board.restart_requested());
  CHECK_FALSE(bench.anything_energised());
  bench.scan();
  CHECK(bench.first_out() == Cause::watchdog_restart);
  CHECK(bench.phase() == Phase::tripped);
  bench.press(DigitalIn::start_button);
  CHECK_FALSE(bench.anything_energised());
  come_to_rest(bench);
  bench.reset();
  CHECK(bench.phase() == Phase::standby);
  CHECK_FALSE(bench.anything_energised());
}

TEST_CASE("a scan that comes later than the overrun limit trips, one just in time does not") {
  Bench late = purging();
  late.idle(50);  // 60 ms after the scan before
  late.scan();
  CHECK(late.first_out() == Cause::scan_overrun);
  CHECK(late.phase() == Phase::tripped);
  CHECK_FALSE(late.anything_energised());
  come_to_rest(late);
  late.reset();
  CHECK(late.phase() == Phase::standby);

  Bench in_time = purging();
  in_time.idle(40);
  in_time.scan();
  CHECK(in_time.first_out() == Cause::none);
  CHECK(in_time.phase() == Phase::purging);
}

TEST_CASE("the overrun limit is the setting") {
  settings::Settings patient = quick_settings();
  patient.scan.overrun_limit = Milliseconds(100);
  Bench bench = purging(patient);
  bench.idle(50);
  bench.scan();
  CHECK(bench.phase() == Phase::purging);
}

TEST_CASE("a clock that jumps forwards, back, or stands still trips") {
  for (const mock::ClockFault& fault :
       {mock::ClockFault{mock::ClockJump{5'000}}, mock::ClockFault{mock::ClockJump{-5'000}},
        mock::ClockFault{mock::ClockJump{-1'000'000}}, mock::ClockFault{mock::ClockStopped{}}}) {
    Bench bench = purging();
    REQUIRE(bench.board.inject(fault).empty());
    bench.scan();
    CHECK(bench.first_out() == Cause::clock_jump);
    CHECK(bench.phase() == Phase::tripped);
    CHECK_FALSE(bench.anything_energised());
    bench.board.clear_clock_faults();
    come_to_rest(bench);
    bench.reset();
    CHECK(bench.phase() == Phase::standby);
  }
}

TEST_CASE("while the clock stands still no reset is taken") {
  Bench bench = purging();
  REQUIRE(bench.board.inject(mock::ClockFault{mock::ClockStopped{}}).empty());
  bench.scan();
  come_to_rest(bench);
  bench.reset();
  CHECK(bench.phase() == Phase::tripped);
}

TEST_CASE("the wrap of the board's clock at 2^32 ms is no jump") {
  mock::BoardOptions options;
  options.clock_at_start_ms = 0xFFFF'FFFFU - 5'000U;
  mock::Board board(options);
  board.store().write(controller::settings_offset, settings::encode(quick_settings()));
  Bench bench(board);
  bench.run(3'000);
  bench.reset();
  REQUIRE(bench.phase() == Phase::standby);
  bench.run(10'000);
  CHECK(bench.board.now().value < 20'000U);
  CHECK(bench.phase() == Phase::standby);
}
