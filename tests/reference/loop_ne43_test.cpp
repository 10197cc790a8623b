#include <cmath>
#include <initializer_list>

#include <doctest/doctest.h>

#include "firmware/conditioning/current_loop.hpp"

// Source: NAMUR NE 43, signal level for the failure information of digital transmitters: valid
// 3.8..20.5 mA, failure at or below 3.6 and at or above 21 mA. That the bands between are held is
// common practice, no source.

using namespace ovenproof;
using namespace ovenproof::conditioning;

TEST_CASE("loop currents mean what NE 43 says, the limits themselves included") {
  const auto state = [](float mA) { return classify(Milliamps(mA)); };
  for (const float mA : {-1.0F, 0.0F, 3.5F, 3.6F}) CHECK(state(mA) == LoopState::failure_low);
  for (const float mA : {3.601F, 3.7F, 3.799F}) CHECK(state(mA) == LoopState::undefined_low);
  for (const float mA : {3.8F, 4.0F, 12.0F, 20.0F, 20.5F}) {
    CHECK(state(mA) == LoopState::measurement);
  }
  for (const float mA : {20.501F, 20.75F, 20.999F}) CHECK(state(mA) == LoopState::undefined_high);
  for (const float mA : {21.0F, 22.0F, 24.0F, 1e30F}) CHECK(state(mA) == LoopState::failure_high);
}

TEST_CASE("4, 8, 12, 16 and 20 mA are 0, 25, 50, 75 and 100 percent of a linear range") {
  const CurrentLoopLimits limits{LoopScale::linear, Ppm(0.0F), Ppm(10'000.0F), Milliseconds(0)};
  for (int quarter = 0; quarter <= 4; ++quarter) {
    const float mA = 4.0F + 4.0F * static_cast<float>(quarter);
    CHECK(scaled(Milliamps(mA), limits).value == doctest::Approx(2500.0 * quarter));
  }
}

TEST_CASE("a logarithmic range puts equal ratios on equal currents") {
  // 1 ppm to 25 %: x = lo (hi/lo)^((I - 4) / 16), computed by the standard library.
  const CurrentLoopLimits limits{LoopScale::logarithmic, Ppm(1.0F), Ppm(250'000.0F),
                                 Milliseconds(0)};
  double worst = 0.0;
  for (int i = 3800; i <= 20'500; i += 10) {
    const double mA = i / 1000.0;
    const double expected = std::pow(250'000.0, (mA - 4.0) / 16.0);
    const double got = scaled(Milliamps(static_cast<float>(mA)), limits).value;
    worst = std::fmax(worst, std::fabs(got / expected - 1.0));
  }
  CHECK(worst < 1e-5);
}
