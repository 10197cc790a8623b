#include "firmware/control/gas_contraction.hpp"

#include <cmath>
#include <limits>

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr Milliseconds scan{10};
constexpr LitresPerMinute process_flow{20.0F};
constexpr float volume_L = 220.0F;

/// Runs `minutes` at `rate_K_per_min`, beginning at `from`; gives the last temperature.
double run(GasContraction& gas, double from, double rate_K_per_min, double minutes,
           const settings::Cooling& cooling) {
  double temperature = from;
  for (int i = 0; i < static_cast<int>(minutes * 6'000); ++i) {
    temperature = from + rate_K_per_min * i / 6'000.0;
    gas.update(Celsius{static_cast<float>(temperature)}, true, volume_L, cooling, scan);
  }
  return temperature;
}

/// Gas in the chamber, litres at 0 degC and 101.325 kPa.
double content_L(double celsius) { return volume_L * 273.15 / (celsius + 273.15); }

}  // namespace

TEST_CASE("shrinkage is what the ideal gas law says the chamber takes in") {
  const settings::Cooling cooling;
  GasContraction gas;
  const double end = run(gas, 420.0, -8.8, 10.0, cooling);
  // Finite difference of the content over the last second, not the derivative the code uses.
  const double expected = (content_L(end) - content_L(end + 8.8 / 60.0)) * 60.0;
  CHECK(expected == doctest::Approx(1.43).epsilon(0.02));
  CHECK(gas.shrink().value == doctest::Approx(expected).epsilon(0.005));
}

TEST_CASE("a chamber that heats up expands") {
  const settings::Cooling cooling;
  GasContraction gas;
  run(gas, 100.0, 10.0, 5.0, cooling);
  CHECK(gas.shrink().value < -3.0F);
  CHECK(gas.made_up(process_flow, cooling));
}

TEST_CASE("a slow drift at high temperature is not lost in rounding") {
  const settings::Cooling cooling;
  GasContraction gas;
  const double end = run(gas, 550.0, -0.1, 10.0, cooling);
  const double expected = (content_L(end - 0.1) - content_L(end));
  CHECK(gas.shrink().value == doctest::Approx(expected).epsilon(0.02));
}

TEST_CASE(
    "a hot chamber that holds its temperature shrinks at no time, the first estimate included") {
  const settings::Cooling cooling;
  GasContraction gas;
  for (int second = 0; second < 300; ++second) {
    run(gas, 550.0, 0.0, 1.0 / 60.0, cooling);
    CHECK(gas.shrink().value == doctest::Approx(0.0).epsilon(1e-3));
  }
  CHECK(gas.ready());
}

TEST_CASE("nothing is known until the filter has settled for three time constants") {
  const settings::Cooling cooling;  // 30 s
  GasContraction gas;
  run(gas, 60.0, 0.0, 1.499, cooling);
  CHECK_FALSE(gas.ready());
  CHECK_FALSE(gas.made_up(process_flow, cooling));
  CHECK_FALSE(gas.settled(process_flow, cooling));
  run(gas, 60.0, 0.0, 0.01, cooling);
  CHECK(gas.ready());
  CHECK(gas.settled(process_flow, cooling));
}

TEST_CASE("process flow makes up only the allowed share of itself") {
  settings::Cooling cooling;
  cooling.make_up_fraction = Fraction{0.5F};
  GasContraction gas;
  run(gas, 420.0, -8.8, 10.0, cooling);
  CHECK(gas.made_up(LitresPerMinute{3.0F}, cooling));        // 1.5 > 1.43
  CHECK_FALSE(gas.made_up(LitresPerMinute{2.7F}, cooling));  // 1.35 < 1.43
}

TEST_CASE("gas has settled only at or below the settled temperature and while hardly shrinking") {
  settings::Cooling cooling;
  cooling.settled_temperature = Celsius{80.0F};
  cooling.settled_shrink = LitresPerMinute{0.5F};
  GasContraction hot;
  run(hot, 80.5, 0.0, 5.0, cooling);
  CHECK(hot.made_up(process_flow, cooling));
  CHECK_FALSE(hot.settled(process_flow, cooling));
  GasContraction cool;
  run(cool, 80.0, 0.0, 5.0, cooling);
  CHECK(cool.settled(process_flow, cooling));
  GasContraction fast;  // 220 L at 75 degC: 0.5 L/min is 1.0 K/min
  run(fast, 80.0, -1.2, 5.0, cooling);
  CHECK(fast.made_up(process_flow, cooling));
  CHECK_FALSE(fast.settled(process_flow, cooling));
  GasContraction slow;
  run(slow, 80.0, -0.8, 5.0, cooling);
  CHECK(slow.settled(process_flow, cooling));
  GasContraction starved;
  run(starved, 80.0, -0.8, 5.0, cooling);
  CHECK_FALSE(starved.settled(LitresPerMinute{0.1F}, cooling));
}

TEST_CASE("an invalid or impossible temperature starts the estimate again") {
  const settings::Cooling cooling;
  for (const float bad : {std::numeric_limits<float>::quiet_NaN(),
                          std::numeric_limits<float>::infinity(), 5'000.0F, -273.15F, -1e30F}) {
    GasContraction gas;
    run(gas, 50.0, 0.0, 5.0, cooling);
    REQUIRE(gas.settled(process_flow, cooling));
    gas.update(Celsius{bad}, true, volume_L, cooling, scan);
    CHECK_FALSE(gas.settled(process_flow, cooling));
    CHECK(gas == GasContraction{});
  }
  GasContraction gas;
  run(gas, 50.0, 0.0, 5.0, cooling);
  gas.update(Celsius{50.0F}, false, volume_L, cooling, scan);
  CHECK_FALSE(gas.ready());
}
