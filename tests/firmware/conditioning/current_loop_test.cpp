#include "firmware/conditioning/current_loop.hpp"

#include <initializer_list>

#include <doctest/doctest.h>

#include "counts_of.hpp"
#include "firmware/hal/points.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds conversion{100};
constexpr CurrentLoopLimits linear{LoopScale::linear, Ppm(0.0F), Ppm(1000.0F), Milliseconds(2000)};
constexpr CurrentLoopLimits logarithmic{LoopScale::logarithmic, Ppm(1.0F), Ppm(250'000.0F),
                                        Milliseconds(2000)};

const Reading<Ppm>& feed(CurrentLoop& loop, double mA, int conversions = 1) {
  const auto count = test::count_of(hal::AnalogIn::oxygen_loop, mA);
  for (int i = 0; i < conversions; ++i) loop.update(count, conversion, linear);
  return loop.reading();
}

}  // namespace

TEST_CASE("a linear loop maps quarters of its current to quarters of its range") {
  CHECK(scaled(Milliamps(4.0F), linear).value == 0.0F);
  CHECK(scaled(Milliamps(8.0F), linear).value == doctest::Approx(250.0));
  CHECK(scaled(Milliamps(12.0F), linear).value == doctest::Approx(500.0));
  CHECK(scaled(Milliamps(20.0F), linear).value == doctest::Approx(1000.0));
  CHECK(scaled(Milliamps(20.5F), linear).value == doctest::Approx(1031.25));
}

TEST_CASE("a logarithmic loop gives its ends and the geometric mean in the middle") {
  CHECK(scaled(Milliamps(4.0F), logarithmic).value == doctest::Approx(1.0));
  CHECK(scaled(Milliamps(12.0F), logarithmic).value == doctest::Approx(500.0).epsilon(1e-5));
  CHECK(scaled(Milliamps(20.0F), logarithmic).value == doctest::Approx(250'000.0).epsilon(1e-5));
}

TEST_CASE("a little under range of a linear loop from zero reads zero, not less") {
  CHECK(scaled(Milliamps(3.8F), linear).value == 0.0F);
}

TEST_CASE("a loop has no value before its first measurement") {
  CurrentLoop loop;
  CHECK(loop.reading().reason == Reason::no_value_yet);
  CHECK(feed(loop, 3.7, 100).reason == Reason::no_value_yet);
  CHECK(feed(loop, 20.8).reason == Reason::no_value_yet);
  CHECK(feed(loop, 12.0).valid());
}

TEST_CASE("a failure current makes the reading invalid at once and keeps the value for display") {
  CurrentLoop loop;
  feed(loop, 12.0);
  CHECK(feed(loop, 0.0).reason == Reason::loop_failure_low);
  CHECK(loop.reading().value.value == doctest::Approx(500.0).epsilon(1e-3));
  feed(loop, 12.0);
  CHECK(feed(loop, 22.0).reason == Reason::loop_failure_high);
}

TEST_CASE("an undefined current holds the last value for its time and no longer") {
  for (const double undefined : {3.7, 20.75}) {
    CurrentLoop loop;
    feed(loop, 8.0);
    const Reading<Ppm> before = loop.reading();
    CHECK(feed(loop, undefined, 20) == before);
    CHECK(feed(loop, undefined).reason == Reason::loop_undefined);
    CHECK(feed(loop, undefined, 1000).reason == Reason::loop_undefined);
    CHECK(feed(loop, 8.0).valid());
    CHECK(feed(loop, undefined, 20).valid());  // and the time begins anew
  }
}

TEST_CASE("an undefined current after a failure does not bring the old value back") {
  CurrentLoop loop;
  feed(loop, 8.0);
  feed(loop, 22.0);
  CHECK(feed(loop, 20.75, 100).reason == Reason::loop_failure_high);
  feed(loop, 8.0);
  feed(loop, 1.0);
  CHECK(feed(loop, 3.7, 100).reason == Reason::loop_failure_low);
}
