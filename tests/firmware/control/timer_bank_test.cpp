#include "firmware/control/timer_bank.hpp"

#include <cstdint>
#include <vector>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {
constexpr TimerBank<2>::Presets presets{Milliseconds{100}, Milliseconds{30}};
constexpr Milliseconds scan{10};
}  // namespace

TEST_CASE("a timer elapses when its run bit has been held for the preset, not a scan sooner") {
  TimerBank<2> bank;
  for (int i = 0; i <= 9; ++i) {
    bank.update(1, presets, scan);  // held 0 ms in the first scan, 90 ms in the tenth
    CHECK_FALSE(bank.elapsed(0));
  }
  bank.update(1, presets, scan);
  CHECK(bank.elapsed(0));
  CHECK(bank.held(0) == Milliseconds{100});
  bank.update(1, presets, scan);
  CHECK(bank.elapsed(0));
}

TEST_CASE("a run bit low for one scan starts the timer again from zero") {
  TimerBank<2> bank;
  for (int i = 0; i < 10; ++i) bank.update(1, presets, scan);
  bank.update(0, presets, scan);
  CHECK(bank.held(0) == Milliseconds{0});
  for (int i = 0; i < 10; ++i) bank.update(1, presets, scan);
  CHECK_FALSE(bank.elapsed(0));
  bank.update(1, presets, scan);
  CHECK(bank.elapsed(0));
  bank.update(0, presets, scan);
  CHECK_FALSE(bank.elapsed(0));
}

TEST_CASE("timers do not disturb each other, and one outside the bank never elapses") {
  TimerBank<2> bank;
  for (int i = 0; i < 4; ++i) bank.update(0b11, presets, scan);
  CHECK(bank.elapsed_bits() == 0b10);
  bank.update(0b01, presets, scan);
  CHECK(bank.elapsed_bits() == 0);
  for (int i = 0; i < 6; ++i) bank.update(0b01, presets, scan);
  CHECK(bank.elapsed_bits() == 0b01);
  CHECK_FALSE(bank.elapsed(2));
  CHECK_FALSE(bank.elapsed(64));
}

TEST_CASE("a preset of zero elapses at once") {
  TimerBank<1> bank;
  bank.update(1, {Milliseconds{0}}, scan);
  CHECK(bank.elapsed(0));
}

TEST_CASE("a timer held for longer than the clock can count stays elapsed") {
  TimerBank<1> bank;
  const TimerBank<1>::Presets long_preset{Milliseconds{UINT32_MAX}};
  bank.update(1, long_preset, scan);
  for (int i = 0; i < 3; ++i) bank.update(1, long_preset, Milliseconds{0x8000'0000U});
  CHECK(bank.elapsed(0));
  CHECK(bank.held(0) == Milliseconds{UINT32_MAX});
}

TEST_CASE("elapsed means: held for the preset without a break, whatever the sequence") {
  test::check_property(0x7104, [](const std::vector<std::pair<std::uint8_t, std::uint8_t>>& steps) {
    constexpr TimerBank<3>::Presets limits{Milliseconds{0}, Milliseconds{50}, Milliseconds{400}};
    TimerBank<3> bank;
    // Model: the scan at which each run bit last rose.
    std::uint64_t now = 0;
    std::array<std::uint64_t, 3> since{};
    unsigned before = 0;
    for (const auto& [step, bits] : steps) {
      now += step;
      const unsigned run = bits & 7U;
      bank.update(run, limits, Milliseconds{step});
      for (unsigned t = 0; t < 3; ++t) {
        if ((run >> t & 1U) != 0 && (before >> t & 1U) == 0) since[t] = now;
        const bool expected = (run >> t & 1U) != 0 && now - since[t] >= limits[t].value;
        RC_ASSERT(bank.elapsed(t) == expected);
      }
      before = run;
    }
  });
}
