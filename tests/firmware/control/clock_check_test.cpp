#include "firmware/control/clock_check.hpp"

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr settings::Scan limits{.period = Milliseconds{10},
                                .converter_stale = Milliseconds{500},
                                .conversion_period = Milliseconds{100},
                                .clock_tolerance = Fraction{0.2F}};

/// A converter and a clock, each at its own pace.
struct Board {
  ClockCheck check;
  std::uint16_t conversion = 65'500;  // the number wraps on the way
  double since_conversion_ms = 0.0;

  /// Scans of 10 ms by the clock, which runs `pace` times as fast as true time.
  void run(int scans, double pace, bool converting = true) {
    for (int i = 0; i < scans; ++i) {
      since_conversion_ms += 10.0 / pace;
      if (since_conversion_ms >= 100.0) {
        since_conversion_ms -= 100.0;
        if (converting) ++conversion;
      }
      check.update(conversion, Milliseconds{10}, limits);
    }
  }
};

constexpr int a_minute = 6'000;

}  // namespace

TEST_CASE("a clock within its tolerance of the converter is believed") {
  for (const double pace : {0.85, 0.95, 1.0, 1.05, 1.15}) {
    Board board;
    for (int minute = 0; minute < 10; ++minute) {
      board.run(a_minute, pace);
      CHECK_FALSE(board.check.differs());
    }
  }
}

TEST_CASE("a clock that runs twice or half as fast is found within two windows") {
  for (const double pace : {0.5, 0.75, 1.3, 2.0}) {
    Board board;
    board.run(a_minute, 1.0);
    CHECK_FALSE(board.check.differs());
    board.run(4'000, pace);
    CHECK(board.check.differs());
    board.run(a_minute, 1.0);
    CHECK_FALSE(board.check.differs());
  }
}

TEST_CASE("a converter that stands still accuses no clock, nor does its return") {
  Board board;
  board.run(a_minute, 1.0);
  board.run(a_minute, 1.0, false);
  CHECK_FALSE(board.check.differs());
  board.run(a_minute, 1.0);
  CHECK_FALSE(board.check.differs());
}
