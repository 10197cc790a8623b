#include "firmware/conditioning/oxygen_thresholds.hpp"

#include <bit>
#include <cstdint>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr OxygenThresholdLimits limits{Ppm(100.0F), Ppm(10.0F), Ppm(500.0F), Ppm(50.0F)};

OxygenThresholds& feed(OxygenThresholds& thresholds, float ppm, Reason reason = Reason::none) {
  thresholds.update({Ppm(ppm), reason}, limits);
  return thresholds;
}

}  // namespace

TEST_CASE("the gate is met at its level and lost above its hysteresis") {
  OxygenThresholds t;
  CHECK_FALSE(t.at_gate());
  CHECK_FALSE(feed(t, 101.0F).at_gate());
  CHECK(feed(t, 100.0F).at_gate());
  CHECK(feed(t, 110.0F).at_gate());
  CHECK_FALSE(feed(t, 110.1F).at_gate());
  CHECK_FALSE(feed(t, 105.0F).at_gate());  // on the way down the gate itself counts
  CHECK(feed(t, 99.0F).at_gate());
}

TEST_CASE("the hold limit is broken above it and kept again only below its hysteresis") {
  OxygenThresholds t;
  CHECK_FALSE(feed(t, 500.0F).above_hold());
  CHECK(feed(t, 500.1F).above_hold());
  CHECK(feed(t, 450.1F).above_hold());
  CHECK_FALSE(feed(t, 450.0F).above_hold());
  CHECK_FALSE(feed(t, 499.0F).above_hold());
}

TEST_CASE("a jump from one threshold to the other takes one update") {
  OxygenThresholds t;
  feed(t, 50.0F);
  CHECK(feed(t, 600.0F).above_hold());
  CHECK(feed(t, 50.0F).at_gate());
}

TEST_CASE("an invalid reading is at neither threshold") {
  OxygenThresholds t;
  feed(t, 50.0F);
  feed(t, 50.0F, Reason::warming_up);
  CHECK_FALSE(t.at_gate());
  CHECK_FALSE(t.above_hold());
  feed(t, 600.0F);
  feed(t, 600.0F, Reason::open_circuit);
  CHECK_FALSE(t.at_gate());
  CHECK_FALSE(t.above_hold());
}

TEST_CASE("gate and hold exclude each other for every input, wrong limits included") {
  const auto any_float = [] { return std::bit_cast<float>(*rc::gen::arbitrary<std::uint32_t>()); };
  test::check_property(
      0x5eed04,
      [&] {
        const bool sane = *rc::gen::arbitrary<bool>();
        OxygenThresholdLimits l = limits;
        if (!sane) l = {Ppm(any_float()), Ppm(any_float()), Ppm(any_float()), Ppm(any_float())};
        OxygenThresholds t;
        for (int i = 0; i < 60; ++i) {
          const float ppm = sane ? static_cast<float>(*rc::gen::inRange(0, 700)) : any_float();
          const auto reason = static_cast<Reason>(*rc::gen::inRange(0, 3));
          t.update({Ppm(ppm), reason}, l);
          RC_ASSERT(!(t.at_gate() && t.above_hold()));
          if (reason != Reason::none) RC_ASSERT(!t.at_gate() && !t.above_hold());
          // Independent of history: never at the gate above its hysteresis, never missing a level
          // above hold.
          if (sane && reason == Reason::none) {
            if (ppm > 110.0F) RC_ASSERT(!t.at_gate());
            if (ppm <= 100.0F) RC_ASSERT(t.at_gate());
            RC_ASSERT((ppm > 500.0F) <= t.above_hold());
            if (ppm <= 450.0F) RC_ASSERT(!t.above_hold());
          }
        }
      },
      400);
}

TEST_CASE("with the gate set above the hold limit the hold limit wins") {
  OxygenThresholds t;
  t.update({Ppm(700.0F), Reason::none}, {Ppm(900.0F), Ppm(10.0F), Ppm(500.0F), Ppm(50.0F)});
  CHECK(t.above_hold());
  CHECK_FALSE(t.at_gate());
}
