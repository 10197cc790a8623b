#include "firmware/control/accumulate.hpp"

#include <cmath>
#include <limits>

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::control;

TEST_CASE("a compensated sum keeps terms that a float sum would lose") {
  CompensatedSum sum{0.5F};
  float plain = 0.5F;
  for (int i = 0; i < 1'000'000; ++i) {
    sum.add(1.0e-8F);  // below half of the last bit of 0.5
    plain += 1.0e-8F;
  }
  CHECK(plain == 0.5F);
  CHECK(sum.value() == doctest::Approx(0.51).epsilon(1e-6));
}

TEST_CASE("a lag reaches 1 - 1/e after its time constant") {
  Lag lag;
  lag.restart(0.0F);
  for (int i = 0; i < 3'000; ++i) lag.update(100.0F, 30.0F, 0.01F);
  CHECK(lag.value() == doctest::Approx(100.0 * (1.0 - std::exp(-1.0))).epsilon(1e-3));
}

TEST_CASE("a lag behind a slow ramp trails by rate times time constant") {
  Lag lag;
  lag.restart(500.0F);
  double input = 500.0;
  for (int i = 0; i < 60'000; ++i) {
    input += 0.1 / 60.0 * 0.01;  // 0.1 K/min at 10 ms: a tenth of the last bit a scan
    lag.update(static_cast<float>(input), 30.0F, 0.01F);
  }
  CHECK(input - lag.value() == doctest::Approx(0.05).epsilon(0.01));
}

TEST_CASE("a lag without time constant follows at once") {
  Lag lag;
  lag.restart(1.0F);
  lag.update(7.0F, 0.0F, 0.01F);
  CHECK(lag.value() == 7.0F);
}

TEST_CASE("durations saturate instead of wrapping") {
  CHECK(saturating_sum(Milliseconds{UINT32_MAX - 1}, Milliseconds{1}) == Milliseconds{UINT32_MAX});
  CHECK(saturating_sum(Milliseconds{UINT32_MAX}, Milliseconds{10}) == Milliseconds{UINT32_MAX});
  CHECK(saturating_sum(Milliseconds{1}, Milliseconds{2}) == Milliseconds{3});
}

TEST_CASE("bounding turns a NaN into the low end, and finite refuses what is not") {
  constexpr float nan_value = std::numeric_limits<float>::quiet_NaN();
  constexpr float infinite = std::numeric_limits<float>::infinity();
  CHECK(bounded(nan_value, 0.0F, 1.0F) == 0.0F);
  CHECK(bounded(infinite, 0.0F, 1.0F) == 1.0F);
  CHECK(bounded(0.25F, 0.0F, 1.0F) == 0.25F);
  CHECK_FALSE(finite(nan_value));
  CHECK_FALSE(finite(infinite));
  CHECK_FALSE(finite(-infinite));
  CHECK(finite(std::numeric_limits<float>::max()));
}
