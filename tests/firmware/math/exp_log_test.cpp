#include "firmware/math/exp_log.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

#include <doctest/doctest.h>

namespace math = ovenproof::math;

namespace {

constexpr float smallest_normal = std::numeric_limits<float>::min();
constexpr float largest = std::numeric_limits<float>::max();

// Error in units in the last place of the float32 nearest to the exact result.
double ulp_error(float got, long double exact) {
  const float nearest = static_cast<float>(exact);
  const float next = std::nextafter(std::fabs(nearest), std::numeric_limits<float>::infinity());
  const double ulp = static_cast<double>(next) - std::fabs(static_cast<double>(nearest));
  return static_cast<double>(std::fabs(static_cast<long double>(got) - exact)) / ulp;
}

// Every `stride`-th float32 from `from` up to `to`, both positive.
template <class Visit>
void each_float(float from, float to, std::uint32_t stride, Visit visit) {
  const auto last = std::bit_cast<std::uint32_t>(to);
  for (std::uint32_t bits = std::bit_cast<std::uint32_t>(from); bits <= last; bits += stride) {
    visit(std::bit_cast<float>(bits));
  }
}

}  // namespace

TEST_CASE("exp is within 1.5 units in the last place over its whole range") {
  double worst = 0.0;
  const auto visit = [&](float x) {
    worst = std::max(worst, ulp_error(math::exp(x), std::exp(static_cast<long double>(x))));
  };
  each_float(1e-10F, math::exp_max_argument, 1009, visit);
  each_float(1e-10F, 87.33654F, 1009, [&](float x) { visit(-x); });
  CHECK(worst <= 1.5);
  CHECK(worst > 0.4);  // the measure itself measures: rounding alone costs half a unit
}

TEST_CASE("log is within 1.5 units in the last place over all normal numbers") {
  double worst = 0.0;
  each_float(smallest_normal, largest, 2003, [&](float x) {
    if (x == 1.0F) return;
    worst = std::max(worst, ulp_error(math::log(x), std::log(static_cast<long double>(x))));
  });
  // Where relative accuracy is hardest: every float32 within 2^-10 of 1.
  each_float(0.999F, 1.001F, 1, [&](float x) {
    if (x == 1.0F) return;
    worst = std::max(worst, ulp_error(math::log(x), std::log(static_cast<long double>(x))));
  });
  CHECK(worst <= 1.5);
  CHECK(worst > 0.4);
}

TEST_CASE("exp and log take their exact values exactly") {
  static_assert(math::exp(0.0F) == 1.0F);
  static_assert(math::exp(-0.0F) == 1.0F);
  static_assert(math::log(1.0F) == 0.0F);
}

TEST_CASE("exp saturates instead of overflowing and gives zero instead of a subnormal") {
  CHECK(math::exp(100.0F) == largest);
  CHECK(math::exp(std::numeric_limits<float>::infinity()) == largest);
  CHECK(math::exp(-100.0F) == 0.0F);
  CHECK(math::exp(-std::numeric_limits<float>::infinity()) == 0.0F);
  CHECK(math::exp(math::exp_max_argument) < largest);
  CHECK(math::exp(math::exp_max_argument) > 0.99F * largest);
  CHECK(math::exp(math::exp_min_argument) >= 0.999F * smallest_normal);
}

TEST_CASE("log saturates outside the positive normal numbers") {
  const float least = math::log(smallest_normal);
  CHECK(least == doctest::Approx(-87.3365).epsilon(1e-5));
  CHECK(math::log(0.0F) == least);
  CHECK(math::log(-5.0F) == least);
  CHECK(math::log(std::numeric_limits<float>::denorm_min()) == least);
  CHECK(math::log(std::numeric_limits<float>::infinity()) == math::log(largest));
}

TEST_CASE("a NaN argument stays a NaN") {
  const float nan = std::numeric_limits<float>::quiet_NaN();
  CHECK(std::isnan(math::exp(nan)));
  CHECK(std::isnan(math::log(nan)));
}

TEST_CASE("exp and log never fall where their argument rises by more than rounding") {
  float before_exp = 0.0F;
  float before_log = math::log(smallest_normal);
  std::uint32_t falls = 0;
  for (int i = -87 * 1024; i <= 88 * 1024; ++i) {
    const float y = math::exp(static_cast<float>(i) / 1024.0F);
    if (y < before_exp) ++falls;
    before_exp = y;
  }
  each_float(smallest_normal, largest, 1 << 12, [&](float x) {
    const float y = math::log(x);
    if (y < before_log) ++falls;
    before_log = y;
  });
  CHECK(falls == 0);
}

TEST_CASE("exp and log give the same bits on every machine and compiler") {
  // FNV-1a over the result bits. The expected figures were produced once and must come out of any
  // conforming float32 arithmetic.
  std::uint32_t hash = 2166136261U;
  const auto mix = [&](float y) { hash = (hash ^ std::bit_cast<std::uint32_t>(y)) * 16777619U; };
  for (int i = -90'000; i <= 90'000; i += 7) mix(math::exp(static_cast<float>(i) / 1000.0F));
  CHECK(hash == 2413791099U);
  hash = 2166136261U;
  each_float(smallest_normal, largest, 1 << 14, [&](float x) { mix(math::log(x)); });
  CHECK(hash == 3598213862U);
}
