#include "firmware/conditioning/flap_watch.hpp"

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds scan{100};
constexpr FlapLimits limits{.losses = 3, .window = Milliseconds(60'000)};

/// The proof is lost for a scan every `period` scans.
void flap(FlapWatch& watch, int losses, int period) {
  for (int i = 0; i < losses; ++i) {
    for (int j = 1; j < period; ++j) watch.update(true, scan, limits);
    watch.update(false, scan, limits);
  }
}

}  // namespace

TEST_CASE("a proof may be lost as often as allowed") {
  FlapWatch watch;
  flap(watch, 3, 50);
  CHECK_FALSE(watch.flapping());
}

TEST_CASE("a proof that is lost once more within the window flaps until it is acknowledged") {
  FlapWatch watch;
  flap(watch, 4, 50);
  CHECK(watch.flapping());
  for (int i = 0; i < 10'000; ++i) watch.update(true, scan, limits);
  CHECK(watch.flapping());
  watch.acknowledge();
  CHECK_FALSE(watch.flapping());
}

TEST_CASE("losses further apart than the window never add up") {
  FlapWatch watch;
  flap(watch, 50, 250);  // 25 s apart: three a window
  CHECK_FALSE(watch.flapping());
}

TEST_CASE("a proof that was never there is not lost") {
  FlapWatch watch;
  for (int i = 0; i < 10'000; ++i) watch.update(false, scan, limits);
  CHECK_FALSE(watch.flapping());
}

TEST_CASE("a proof that is lost counts as off for a least time, from its last loss on") {
  FlapWatch watch;
  const FlapLimits slow{
      .losses = 30, .window = Milliseconds(60'000), .least_off = Milliseconds(1'000)};
  watch.update(true, scan, slow);
  CHECK(watch.steady());  // never lost: nothing to wait for
  for (int flicker = 0; flicker < 3; ++flicker) {
    watch.update(false, scan, slow);
    for (int i = 0; i < 9; ++i) {
      CHECK_FALSE(watch.steady());
      watch.update(true, scan, slow);
    }
  }
  CHECK_FALSE(watch.steady());
  watch.update(true, scan, slow);
  CHECK(watch.steady());
}

TEST_CASE("a proof that comes after a long time without is believed at once") {
  FlapWatch watch;
  watch.update(true, scan, limits);
  for (int i = 0; i < 20; ++i) watch.update(false, scan, limits);
  watch.update(true, scan, limits);
  CHECK(watch.steady());
}
