#pragma once
#include <bit>
#include <cstdint>
#include <limits>

/// Natural exponential and logarithm in float32 that give the same bits on every IEEE 754 machine:
/// only + - * / and bit operations in a fixed order, no libm. Compile without contraction and
/// without fast-math.
///
/// Total functions: they saturate where the mathematical result is not a normal float32, so a
/// finite argument never gives an infinity or NaN. NaN gives NaN.
namespace ovenproof::math {

namespace detail {
// ln 2 in two parts. The first has few enough bits that k * ln2_hi is exact for |k| <= 128.
inline constexpr float ln2_hi = 0.693359375F;
inline constexpr float ln2_lo = -2.12194440e-4F;
inline constexpr float log2_e = 1.44269504F;

constexpr float power_of_two(std::int32_t k) {  // -126 <= k <= 127
  return std::bit_cast<float>(static_cast<std::uint32_t>(k + 127) << 23U);
}
}  // namespace detail

/// Largest argument of exp() that does not saturate.
inline constexpr float exp_max_argument = 88.7228F;
/// Smallest argument of exp() that does not give zero: ln of the smallest normal float32.
inline constexpr float exp_min_argument = -87.336544F;

/// e^x within 1.5 units in the last place. Above exp_max_argument the largest finite float32,
/// below exp_min_argument zero (subnormal results are not produced).
///
/// x = k ln 2 + r with |r| <= ln(2)/2, then the Taylor series of e^r to r^7 (the remainder is
/// below 6e-9 of the result) scaled by 2^k.
constexpr float exp(float x) {
  if (x != x) return x;
  if (x > exp_max_argument) return std::numeric_limits<float>::max();
  if (x < exp_min_argument) return 0.0F;
  const auto k = static_cast<std::int32_t>(x * detail::log2_e + (x < 0.0F ? -0.5F : 0.5F));
  const auto kf = static_cast<float>(k);
  const float r = (x - kf * detail::ln2_hi) - kf * detail::ln2_lo;
  float p = 1.0F / 5040.0F;
  p = p * r + 1.0F / 720.0F;
  p = p * r + 1.0F / 120.0F;
  p = p * r + 1.0F / 24.0F;
  p = p * r + 1.0F / 6.0F;
  p = p * r + 0.5F;
  const float e = 1.0F + (r + r * r * p);
  // k = 128 is reached at the upper end: double after scaling.
  return k > 127 ? e * detail::power_of_two(127) * 2.0F : e * detail::power_of_two(k);
}

/// ln x within 1.5 units in the last place. Arguments below the smallest normal float32 (zero and
/// negative numbers included) give its logarithm, about -87.34; infinity gives that of the largest
/// finite float32.
///
/// x = m 2^k with m in [sqrt(1/2), sqrt(2)), f = m - 1, s = f / (2 + f), and
/// ln(1 + f) = 2 artanh(s) = f - f^2/2 + s (f^2/2 + 2 s^2/3 + 2 s^4/5 + ...).
constexpr float log(float x) {
  if (x != x) return x;
  if (x < std::numeric_limits<float>::min()) x = std::numeric_limits<float>::min();
  if (x > std::numeric_limits<float>::max()) x = std::numeric_limits<float>::max();
  const auto bits = std::bit_cast<std::uint32_t>(x);
  // Adding 1 - sqrt(1/2) in the exponent scale carries mantissas of sqrt(2) and more into k.
  const std::uint32_t shifted = bits + (0x3f800000U - 0x3f3504f3U);
  const auto k = static_cast<float>(static_cast<std::int32_t>(shifted >> 23U) - 127);
  const float m = std::bit_cast<float>((shifted & 0x007fffffU) + 0x3f3504f3U);
  const float f = m - 1.0F;
  const float s = f / (2.0F + f);
  const float z = s * s;
  float series = 2.0F / 11.0F;
  series = series * z + 2.0F / 9.0F;
  series = series * z + 2.0F / 7.0F;
  series = series * z + 2.0F / 5.0F;
  series = series * z + 2.0F / 3.0F;
  series = series * z;
  const float half_square = 0.5F * f * f;
  const float tail = s * (half_square + series) + k * detail::ln2_lo;
  return k * detail::ln2_hi - ((half_square - tail) - f);
}

}  // namespace ovenproof::math
