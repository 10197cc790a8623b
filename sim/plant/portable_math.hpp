#pragma once
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>

/// Exponential and logarithm in double that give the same bits on every IEEE 754 machine and
/// compiler. A C library's may not: it picks other code where the processor has fused
/// multiply-add. Only + - * / and bit patterns are used here; contraction is off project-wide.
namespace ovenproof::plant::portable {

namespace detail {
// ln 2 as a head with 32 trailing zero bits, so that k * head is exact, and a tail.
inline constexpr double ln2_head = 0x1.62e42feep-1;
inline constexpr double ln2_tail = 0x1.a39ef35793c76p-33;
inline constexpr double inverse_ln2 = 0x1.71547652b82fep0;

/// 2^k for -1022 <= k <= 1023.
constexpr double power_of_two(int k) {
  return std::bit_cast<double>(static_cast<std::uint64_t>(k + 1023) << 52);
}
}  // namespace detail

/// e^x within 1 ulp; 0 below -745.2, infinity above 709.8, NaN of NaN.
///
/// x = k ln 2 + r with |r| <= ln 2 / 2; e^r by its Taylor series to r^13 (remainder 5e-18).
constexpr double exp(double x) {
  if (!(x > -745.2)) return x != x ? x : 0.0;
  if (x > 709.8) return std::numeric_limits<double>::infinity();
  const int k = static_cast<int>(x * detail::inverse_ln2 + (x < 0.0 ? -0.5 : 0.5));
  const double head = x - k * detail::ln2_head;
  const double tail = k * detail::ln2_tail;
  const double r = head - tail;
  double q = 1.0 / 6227020800.0;
  q = q * r + 1.0 / 479001600.0;
  q = q * r + 1.0 / 39916800.0;
  q = q * r + 1.0 / 3628800.0;
  q = q * r + 1.0 / 362880.0;
  q = q * r + 1.0 / 40320.0;
  q = q * r + 1.0 / 5040.0;
  q = q * r + 1.0 / 720.0;
  q = q * r + 1.0 / 120.0;
  q = q * r + 1.0 / 24.0;
  q = q * r + 1.0 / 6.0;
  q = q * r + 0.5;
  const double e_r = 1.0 + (r + q * r * r);
  // In two factors, so that results near the ends of the range neither overflow nor lose bits
  // twice.
  const int half = k / 2;
  return e_r * detail::power_of_two(half) * detail::power_of_two(k - half);
}

/// Natural logarithm within 1 ulp; -infinity at 0, NaN below and of NaN.
///
/// x = 2^k (1 + f) with sqrt(1/2) <= 1 + f < sqrt(2), and with s = f / (2 + f)
/// ln(1 + f) = 2 artanh s = f - f^2/2 + s (f^2/2 + 2 s^2/3 + 2 s^4/5 + ...), to s^22.
constexpr double log(double x) {
  if (!(x > 0.0)) {
    return x == 0.0 ? -std::numeric_limits<double>::infinity()
                    : std::numeric_limits<double>::quiet_NaN();
  }
  if (x == std::numeric_limits<double>::infinity()) return x;
  int k = 0;
  if (x < std::numeric_limits<double>::min()) {
    x *= 0x1p54;
    k = -54;
  }
  auto bits = std::bit_cast<std::uint64_t>(x);
  // Shifts the split between k and mantissa from 1 to sqrt(1/2).
  constexpr std::uint64_t sqrt_half = 0x3fe6a09e667f3bcd;
  const std::uint64_t shifted = bits - sqrt_half;
  k += static_cast<int>(static_cast<std::int64_t>(shifted) >> 52);
  bits = (shifted & 0x000fffffffffffff) + sqrt_half;
  const double f = std::bit_cast<double>(bits) - 1.0;
  const double s = f / (2.0 + f);
  const double z = s * s;
  double series = 2.0 / 23.0;
  series = series * z + 2.0 / 21.0;
  series = series * z + 2.0 / 19.0;
  series = series * z + 2.0 / 17.0;
  series = series * z + 2.0 / 15.0;
  series = series * z + 2.0 / 13.0;
  series = series * z + 2.0 / 11.0;
  series = series * z + 2.0 / 9.0;
  series = series * z + 2.0 / 7.0;
  series = series * z + 2.0 / 5.0;
  series = series * z + 2.0 / 3.0;
  const double half_square = 0.5 * f * f;
  return k * detail::ln2_head -
         ((half_square - (s * (half_square + z * series) + k * detail::ln2_tail)) - f);
}

/// x^y for x > 0 and moderate results (a few ulp); 0 for x <= 0.
constexpr double pow(double x, double y) { return x > 0.0 ? exp(y * log(x)) : 0.0; }

}  // namespace ovenproof::plant::portable
