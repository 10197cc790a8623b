#include "hal-mock/converter.hpp"

#include <limits>

#include <doctest/doctest.h>

#include "hal-mock/point.hpp"
#include "property.hpp"

using namespace ovenproof;
using mock::counts_of;

namespace {

struct Span {
  hal::AnalogIn input;
  double zero;
  double full;
};
// Written out again, not read from the header under test.
constexpr Span spans[] = {
    {hal::AnalogIn::te_a, -10, 80},           {hal::AnalogIn::te_b, -10, 80},
    {hal::AnalogIn::cold_junction, 80, 145},  {hal::AnalogIn::oxygen_cell, -50, 450},
    {hal::AnalogIn::oxygen_cell_tc, -10, 80}, {hal::AnalogIn::oxygen_loop, 0, 24}};
static_assert(std::size(spans) == hal::analog_in_count);

// At compile time, where the undefined conversion of a NaN to an integer is an error.
static_assert(counts_of(hal::AnalogIn::te_a, std::numeric_limits<double>::quiet_NaN()) == 0);
static_assert(counts_of(hal::AnalogIn::te_a, std::numeric_limits<double>::infinity()) == 65535);

}  // namespace

TEST_CASE("a signal at the ends of its span converts to exactly 0 and 65535") {
  for (const Span& s : spans) {
    CAPTURE(mock::name(s.input));
    CHECK(counts_of(s.input, s.zero) == 0);
    CHECK(counts_of(s.input, s.full) == 65535);
  }
}

TEST_CASE("a signal beyond its span saturates, and an open circuit reads full scale") {
  constexpr double inf = std::numeric_limits<double>::infinity();
  for (const Span& s : spans) {
    CAPTURE(mock::name(s.input));
    CHECK(counts_of(s.input, s.zero - 1e-3) == 0);
    CHECK(counts_of(s.input, -1e300) == 0);
    CHECK(counts_of(s.input, -inf) == 0);
    CHECK(counts_of(s.input, s.full + 1e-3) == 65535);
    CHECK(counts_of(s.input, 1e300) == 65535);
    CHECK(counts_of(s.input, inf) == 65535);
    CHECK(counts_of(s.input, std::numeric_limits<double>::quiet_NaN()) == 0);
  }
}

TEST_CASE("every count is reached at its own value and half a count either side") {
  for (const Span& s : spans) {
    const double per_count = (s.full - s.zero) / 65535.0;
    int wrong = 0;
    for (int count = 0; count <= 65535; ++count) {
      const double value = s.zero + count * per_count;
      wrong += counts_of(s.input, value) != count;
      wrong += counts_of(s.input, value - 0.499 * per_count) != count;
      wrong += counts_of(s.input, value + 0.499 * per_count) != count;
    }
    CAPTURE(mock::name(s.input));
    CHECK(wrong == 0);
  }
}

TEST_CASE("a greater signal never converts to a smaller count") {
  CHECK(test::holds("conversion is monotone", 0xC0417, 2000, [] {
    const Span& s = spans[*rc::gen::inRange<std::size_t>(0, std::size(spans))];
    const auto signal = [&] {
      // A little beyond both ends, in steps far below a count.
      const auto step = *rc::gen::inRange<std::int64_t>(-1'000'000, 101'000'000);
      return s.zero + (s.full - s.zero) * static_cast<double>(step) / 1e8;
    };
    const double a = signal();
    const double b = signal();
    RC_ASSERT((a <= b ? counts_of(s.input, a) <= counts_of(s.input, b)
                      : counts_of(s.input, a) >= counts_of(s.input, b)));
  }));
}
