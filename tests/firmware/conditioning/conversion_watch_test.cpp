#include "firmware/conditioning/conversion_watch.hpp"

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {
constexpr Milliseconds scan{10};
constexpr Milliseconds stale_after{500};
}  // namespace

TEST_CASE("a conversion is fresh once, when its number changes") {
  ConversionWatch watch;
  CHECK_FALSE(watch.update(7, scan, stale_after));  // may be from before power-up
  CHECK_FALSE(watch.update(7, scan, stale_after));
  CHECK(watch.update(8, scan, stale_after));
  CHECK_FALSE(watch.update(8, scan, stale_after));
}

TEST_CASE("the conversion number may wrap") {
  ConversionWatch watch;
  watch.update(65535, scan, stale_after);
  CHECK(watch.update(0, scan, stale_after));
}

TEST_CASE("a conversion number that stands still for longer than the limit is stale") {
  ConversionWatch watch;
  watch.update(1, scan, stale_after);
  watch.update(2, scan, stale_after);
  for (int i = 0; i < 50; ++i) watch.update(2, scan, stale_after);
  CHECK_FALSE(watch.stale());
  watch.update(2, scan, stale_after);
  CHECK(watch.stale());
  for (int i = 0; i < 100'000; ++i) watch.update(2, Milliseconds(1'000'000), stale_after);
  CHECK(watch.stale());  // the time does not wrap
  CHECK(watch.update(3, scan, stale_after));
  CHECK_FALSE(watch.stale());
}

TEST_CASE("a converter that never starts is stale") {
  ConversionWatch watch;
  for (int i = 0; i < 51; ++i) watch.update(0, scan, stale_after);
  CHECK(watch.stale());
}
