#include "sim/plant/portable_math.hpp"

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

#include <doctest/doctest.h>

namespace portable = ovenproof::plant::portable;

namespace {

// Error in units in the last place of the double nearest to the exact value.
double ulp_error(double got, long double exact) {
  const double nearest = static_cast<double>(exact);
  const double magnitude = std::fabs(nearest);
  const double ulp = std::nextafter(magnitude, INFINITY) - magnitude;
  return static_cast<double>(std::fabs(static_cast<long double>(got) - exact)) / ulp;
}

// A fixed sequence of well-spread numbers in 0..1 (Weyl, golden ratio).
double spread(int i) {
  const double x = 0.6180339887498949 * (i + 1);
  return x - std::floor(x);
}

}  // namespace

TEST_CASE("exp is within 1 ulp of long double over its normal range") {
  double worst = 0.0;
  for (int i = 0; i < 200000; ++i) {
    const double x = -708.0 + 1417.0 * spread(i);
    worst = std::max(worst, ulp_error(portable::exp(x), std::exp(static_cast<long double>(x))));
    const double small = 2.0 * spread(i) - 1.0;
    worst =
        std::max(worst, ulp_error(portable::exp(small), std::exp(static_cast<long double>(small))));
  }
  CHECK(worst <= 1.0);
  CHECK(worst > 0.45);  // the measure measures: rounding alone costs nearly half a unit
}

TEST_CASE("log is within 1 ulp of long double from the smallest to the largest number") {
  double worst = 0.0;
  for (int i = 0; i < 200000; ++i) {
    const double wide = std::exp2(-1022.0 + 2045.0 * spread(i));
    worst =
        std::max(worst, ulp_error(portable::log(wide), std::log(static_cast<long double>(wide))));
    const double near_1 = 0.5 + 1.5 * spread(i);
    worst = std::max(worst,
                     ulp_error(portable::log(near_1), std::log(static_cast<long double>(near_1))));
    const double at_1 = 1.0 + (spread(i) - 0.5) * 1e-6;
    worst =
        std::max(worst, ulp_error(portable::log(at_1), std::log(static_cast<long double>(at_1))));
  }
  CHECK(worst <= 1.0);
  CHECK(worst > 0.45);
}

TEST_CASE("exp and log give these very bits on every machine") {
  // Pinned: a change here changes every trace.
  CHECK(std::bit_cast<std::uint64_t>(portable::exp(1.0)) == 0x4005bf0a8b14576a);
  CHECK(std::bit_cast<std::uint64_t>(portable::exp(-1.1e-2)) ==
        std::bit_cast<std::uint64_t>(0x1.fa661bde39c7bp-1));
  CHECK(std::bit_cast<std::uint64_t>(portable::log(10.0)) == 0x40026bb1bbb55516);
  CHECK(std::bit_cast<std::uint64_t>(portable::log(0.2095 / 1e-5)) ==
        std::bit_cast<std::uint64_t>(0x1.3e6587f2018d9p+3));
}

TEST_CASE("exp and log are exact where they can be and documented at their ends") {
  const double infinity = std::numeric_limits<double>::infinity();
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(portable::exp(0.0) == 1.0);
  CHECK(portable::log(1.0) == 0.0);
  CHECK(portable::exp(-800.0) == 0.0);
  CHECK(portable::exp(-infinity) == 0.0);
  CHECK(portable::exp(800.0) == infinity);
  CHECK(portable::exp(infinity) == infinity);
  CHECK(std::isnan(portable::exp(nan)));
  CHECK(portable::exp(-744.0) == doctest::Approx(std::exp(-744.0)).epsilon(0.5));
  CHECK(portable::log(0.0) == -infinity);
  CHECK(portable::log(infinity) == infinity);
  CHECK(std::isnan(portable::log(-1.0)));
  CHECK(std::isnan(portable::log(nan)));
  CHECK(portable::log(std::numeric_limits<double>::denorm_min()) ==
        doctest::Approx(-744.4400719213812));
}

TEST_CASE("log undoes exp, and pow agrees with square root and cube") {
  for (int i = 0; i < 10000; ++i) {
    const double x = -300.0 + 600.0 * spread(i);
    CHECK(portable::log(portable::exp(x)) == doctest::Approx(x).epsilon(1e-13));
    const double base = 1e-3 + 10.0 * spread(i);
    CHECK(portable::pow(base, 0.5) == doctest::Approx(std::sqrt(base)).epsilon(1e-14));
    CHECK(portable::pow(base, 3.0) == doctest::Approx(base * base * base).epsilon(1e-14));
  }
  CHECK(portable::pow(0.0, 0.8) == 0.0);
}
