#include <algorithm>
#include <cstring>
#include <limits>

#include <doctest/doctest.h>

#include "firmware/control/programme.hpp"
#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

settings::Programme random_programme() {
  settings::Programme p;
  p.segment_count = *rc::gen::inRange<std::uint32_t>(1, 4);
  p.soak_band = Kelvins{5.0F};
  p.ramp_lag_limit = Kelvins{*rc::gen::element(0.0F, 20.0F)};
  for (auto& segment : p.segments) {
    segment.target = Celsius{static_cast<float>(*rc::gen::inRange(100, 600))};
    segment.ramp_K_per_min = static_cast<float>(*rc::gen::inRange(1, 1'000)) / 10.0F;
    segment.soak = Milliseconds{*rc::gen::inRange<std::uint32_t>(0, 20'000)};
  }
  return p;
}

/// Mostly near the target of the segment in work, at times anything a float can be.
float random_measurement(const Programme& programme, const settings::Programme& settings) {
  if (*rc::gen::inRange(0, 20) == 0) {
    const auto bits = *rc::gen::arbitrary<std::uint32_t>();
    float any = 0.0F;
    std::memcpy(&any, &bits, sizeof any);
    return any;
  }
  const float target = settings.segments[programme.segment()].target.value;
  return target + static_cast<float>(*rc::gen::inRange(-80, 81)) / 10.0F;
}

}  // namespace

TEST_CASE("no commands and no measurements make a programme lose soak time or its place") {
  test::check_property(
      0x50AC,
      [] {
        const settings::Programme settings = random_programme();
        Programme programme;
        for (int i = 0; i < 200; ++i) {
          const auto bits = *rc::gen::inRange(0, 64);
          const ProgrammeCommands commands{.ramp = (bits & 1) != 0,
                                           .soak = (bits & 2) != 0,
                                           .advance = (bits & 12) == 12,
                                           .restart = bits == 48};
          const Programme before = programme;
          const Milliseconds dt{*rc::gen::inRange<std::uint32_t>(1, 2'000)};
          const float measured = random_measurement(programme, settings);
          programme.update(commands, Celsius{measured}, (bits & 16) == 0, settings, dt);
          if (commands.restart) {
            RC_ASSERT(programme.segment() == 0U);
            continue;
          }
          RC_ASSERT(programme.segment() >= before.segment());
          RC_ASSERT(programme.segment() <= before.segment() + 1);
          RC_ASSERT(programme.segment() < settings.segment_count);
          if (programme.segment() == before.segment()) {
            RC_ASSERT(programme.soaked() >= before.soaked());
            RC_ASSERT(programme.soaked().value <= before.soaked().value + dt.value);
            if (before.facts(settings).soak_complete)
              RC_ASSERT(programme.facts(settings).soak_complete);
          }
          const bool set = programme.setpoint().value - programme.setpoint().value == 0.0F;
          RC_ASSERT(set);  // neither infinite nor NaN
        }
      },
      300);
}

TEST_CASE("time soaked in the band always completes the soak, however ramp and soak alternate") {
  test::check_property(
      0x11FE,
      [] {
        settings::Programme settings = random_programme();
        settings.ramp_lag_limit = Kelvins{0.0F};
        const settings::Segment& segment = settings.segments[0];
        Programme programme;
        // A band regulator gone mad: leaves and enters the band, toggles between ramp and soak,
        // and is interrupted, at random.
        constexpr std::uint32_t dt = 500;
        std::uint32_t in_band = 0;
        for (int i = 0; i < 400; ++i) {
          const auto choice = *rc::gen::inRange(0, 8);
          const bool soak = choice < 4;
          const bool interrupted = choice == 7;
          const bool inside = *rc::gen::inRange(0, 2) == 0;
          const float measured = segment.target.value + (inside ? 4.0F : -6.0F);
          programme.update({.ramp = !soak && !interrupted, .soak = soak}, Celsius{measured}, true,
                           settings, Milliseconds{dt});
          if (soak && inside && programme.facts(settings).ramp_complete) in_band += dt;
          RC_ASSERT(programme.soaked().value == in_band);
          RC_ASSERT(programme.facts(settings).soak_complete ==
                    (in_band > 0 && in_band >= segment.soak.value));
        }
      },
      40);
}
