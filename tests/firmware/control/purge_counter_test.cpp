#include "firmware/control/purge_counter.hpp"

#include <vector>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

settings::Purge purge_settings() {
  settings::Purge purge;
  purge.chamber_volume_L = 160.0F;
  purge.purge_flow = LitresPerMinute{100.0F};
  purge.minimum_volumes = 5.0F;
  purge.counted_share = Fraction(1.0F);
  return purge;
}

constexpr Milliseconds scan{10};

}  // namespace

TEST_CASE("five volumes of 160 L at 100 L/min take 8 minutes of proven flow") {
  const settings::Purge purge = purge_settings();
  PurgeCounter counter;
  counter.update(true, true, scan);  // flow proven from here on
  for (int i = 0; i < 48'000 - 1; ++i) counter.update(true, true, scan);
  CHECK_FALSE(counter.complete(purge));
  counter.update(true, true, scan);
  CHECK(counter.complete(purge));
  CHECK(counter.proven_time() == Milliseconds{480'000});
  CHECK(counter.volumes(purge) == doctest::Approx(5.0));
}

TEST_CASE("volumes are counted by the flow that the switch proves, not by the flow that was set") {
  settings::Purge purge = purge_settings();
  purge.counted_share = Fraction(0.8F);
  PurgeCounter counter;
  for (int i = 0; i < 60'000; ++i) counter.update(true, true, scan);  // 8 min / 0.8, less one scan
  CHECK_FALSE(counter.complete(purge));
  counter.update(true, true, scan);
  CHECK(counter.complete(purge));
}

TEST_CASE("losing flow for one scan, even at the last moment, starts the count again") {
  const settings::Purge purge = purge_settings();
  PurgeCounter counter;
  for (int i = 0; i < 48'000; ++i) counter.update(true, true, scan);
  counter.update(true, false, scan);
  CHECK(counter.volumes(purge) == 0.0F);
  for (int i = 0; i < 48'000; ++i) counter.update(true, true, scan);
  CHECK_FALSE(counter.complete(purge));
  counter.update(true, true, scan);
  CHECK(counter.complete(purge));
  counter.update(true, false, scan);
  CHECK_FALSE(counter.complete(purge));
}

TEST_CASE("flow counts only while counting is commanded, and forgets when it is not") {
  const settings::Purge purge = purge_settings();
  PurgeCounter counter;
  for (int i = 0; i < 100'000; ++i) counter.update(false, true, scan);
  CHECK(counter.proven_time() == Milliseconds{0});
  for (int i = 0; i < 48'001; ++i) counter.update(true, true, scan);
  CHECK(counter.complete(purge));
  counter.update(false, true, scan);
  CHECK_FALSE(counter.complete(purge));
}

TEST_CASE("without proven flow no purge is complete, even if none were required") {
  settings::Purge purge = purge_settings();
  purge.minimum_volumes = 0.0F;
  PurgeCounter counter;
  CHECK_FALSE(counter.complete(purge));
  counter.update(true, true, scan);
  CHECK(counter.complete(purge));
}

TEST_CASE("the count is the time since flow was last not proven, whatever happened before") {
  test::check_property(0x9096, [](const std::vector<std::pair<std::uint8_t, std::uint8_t>>& steps) {
    PurgeCounter counter;
    std::uint64_t now = 0;
    std::uint64_t since = 0;
    bool running = false;
    for (const auto& [step, bits] : steps) {
      now += step;
      const bool counting = bits % 5 != 0;
      const bool flow = bits % 7 != 0;
      if (counting && flow && !running) since = now;
      running = counting && flow;
      counter.update(counting, flow, Milliseconds{step});
      RC_ASSERT(counter.proven_time().value == (running ? now - since : 0));
    }
  });
}
