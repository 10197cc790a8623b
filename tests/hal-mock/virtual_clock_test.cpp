#include "hal-mock/virtual_clock.hpp"

#include <doctest/doctest.h>

#include "boards.hpp"

using namespace ovenproof;
using namespace ovenproof::mock;

namespace {
constexpr std::uint32_t hour = 3'600'000;

VirtualClock with(const ClockFault& fault) {
  VirtualClock clock(0);
  REQUIRE(clock.inject(fault, 0) == "");
  return clock;
}
}  // namespace

TEST_CASE("a sound clock counts ms and wraps at 2^32") {
  VirtualClock clock(0xFFFF'FFF0U);
  clock.advance(0, 15);
  CHECK(clock.now().value == 0xFFFF'FFFFU);
  clock.advance(15, 11);
  CHECK(clock.now().value == 10);
}

TEST_CASE("a jump comes at its onset, once, forwards or back") {
  for (const std::int32_t by : {5000, -5000}) {
    CAPTURE(by);
    auto clock = with({.effect = ClockJump{by}, .onset_ms = 100});
    clock.advance(0, 99);
    CHECK(clock.now().value == 99);
    clock.advance(99, 1);
    CHECK(clock.now().value == 100 + static_cast<std::uint32_t>(by));
    clock.advance(100, 1000);
    CHECK(clock.now().value == 1100 + static_cast<std::uint32_t>(by));
  }
}

TEST_CASE("a jump whose onset has passed comes at once") {
  VirtualClock clock(0);
  clock.advance(0, 200);
  CHECK(clock.inject({.effect = ClockJump{50}, .onset_ms = 100}, 200) == "");
  CHECK(clock.now().value == 250);
  clock.advance(200, 10);
  CHECK(clock.now().value == 260);
}

TEST_CASE("a stopped clock stands from onset to before the end, and the time is lost") {
  auto clock = with({.effect = ClockStopped{}, .onset_ms = 100, .end_ms = 150});
  clock.advance(0, 120);
  CHECK(clock.now().value == 99);
  clock.advance(120, 29);  // to 149, the last instant of the fault
  CHECK(clock.now().value == 99);
  clock.advance(149, 1);
  CHECK(clock.now().value == 100);
  clock.advance(150, 50);
  CHECK(clock.now().value == 150);
}

TEST_CASE("a fast clock gains and a slow one loses its ppm exactly") {
  for (const std::int32_t ppm : {50, -50, 1, 1'000'000, -999'999}) {
    CAPTURE(ppm);
    auto clock = with({.effect = ClockDrift{ppm}});
    for (VirtualMs t = 0; t < hour; t += 10) clock.advance(t, 10);
    // A ms begun but not over does not show.
    CHECK(clock.now().value == std::uint64_t{hour} * (1'000'000U + ppm) / 1'000'000U);
  }
}

TEST_CASE("drift acts from onset to before the end only") {
  auto clock = with({.effect = ClockDrift{1'000'000}, .onset_ms = 10, .end_ms = 20});
  clock.advance(0, 9);
  CHECK(clock.now().value == 9);
  clock.advance(9, 11);
  CHECK(clock.now().value == 30);
}

TEST_CASE("a clock that is stopped and drifts stands still, two drifts add up") {
  const ClockFault stopped{.effect = ClockStopped{}};
  const ClockFault fast{.effect = ClockDrift{500'000}};
  const auto after_1000_ms = [](const ClockFault& a, const ClockFault& b) {
    VirtualClock clock = with(a);
    REQUIRE(clock.inject(b, 0) == "");
    clock.advance(0, 1000);
    return clock.now().value;
  };
  CHECK(after_1000_ms(stopped, fast) == 0);
  CHECK(after_1000_ms(fast, stopped) == 0);
  CHECK(after_1000_ms(fast, fast) == 2000);
  const ClockFault slow{.effect = ClockDrift{-999'999}};
  CHECK(after_1000_ms(slow, slow) == 0);  // never backwards
}

TEST_CASE("a restart forgets the fraction of a ms that drift has gained") {
  auto clock = with({.effect = ClockDrift{500'000}});
  clock.advance(0, 1);
  CHECK(clock.now().value == 1);
  clock.restart();
  clock.advance(1, 1);
  CHECK(clock.now().value == 1);
  clock.advance(2, 1);
  CHECK(clock.now().value == 3);
}

TEST_CASE("a clock fault out of range is refused with the reason and changes nothing") {
  const auto why = [](const ClockFault& fault) {
    VirtualClock clock(0);
    const VirtualClock before = clock;
    const auto reason = clock.inject(fault, 0);
    CHECK(clock == before);
    return reason;
  };
  CHECK(why({.effect = ClockJump{0}}) == "the jump must not be 0");
  const std::string_view range = "the drift must be -999999 to 1000000 ppm and not 0";
  CHECK(why({.effect = ClockDrift{0}}) == range);
  CHECK(why({.effect = ClockDrift{-1'000'000}}) == range);
  CHECK(why({.effect = ClockDrift{1'000'001}}) == range);
  CHECK(why({.effect = ClockStopped{}, .onset_ms = 5, .end_ms = 5}) ==
        "the fault must end after its onset");
}

TEST_CASE("clock faults are limited in number, and those that are over make room") {
  VirtualClock clock(0);
  for (std::size_t i = 0; i < VirtualClock::max_faults; ++i) {
    REQUIRE(clock.inject({.effect = ClockDrift{1}, .onset_ms = 0, .end_ms = 10}, 0) == "");
  }
  const ClockFault one_more{.effect = ClockStopped{}, .onset_ms = 20};
  CHECK(clock.inject(one_more, 9) == "there are 64 clock faults already: clear some first");
  CHECK(clock.inject(one_more, 10) == "");
}

TEST_CASE("the board's clock starts over with the processor and bends under its faults") {
  mock::Board board = mock::test::powered({.watchdog_timeout_ms = 60'000, .clock_at_start_ms = 7});
  CHECK(board.now().value == 7);
  board.advance(10);
  CHECK(board.now().value == 17);
  REQUIRE(board.inject(ClockFault{.effect = ClockStopped{}, .onset_ms = 10}) == "");
  board.advance(10);
  CHECK(board.now().value == 17);
  CHECK(board.virtual_ms() == 20);
  board.clear_clock_faults();
  board.advance(10);
  CHECK(board.now().value == 27);
  board.power_off();
  board.advance(10);
  board.power_on();
  CHECK(board.now().value == 7);
}
