#pragma once
#include <cstdint>

#include "firmware/math/units.hpp"

/// Sums over many short scans that float32 alone would lose.
///
/// At 10 ms a scan adds so little that it falls below the last bit of the sum: an integrator would
/// stand still at errors below about 1 K. Durations are therefore counted in whole milliseconds,
/// and sums carry their rounding error.
namespace ovenproof::control {

/// a + b, at most 2^32 - 1 ms.
constexpr Milliseconds saturating_sum(Milliseconds a, Milliseconds b) {
  const Milliseconds sum = a + b;
  return sum < a ? Milliseconds{UINT32_MAX} : sum;
}

constexpr float seconds(Milliseconds duration) {
  return static_cast<float>(duration.value) / 1000.0F;
}

/// True for every float but the infinities and NaN.
constexpr bool finite(float x) { return x - x == 0.0F; }

/// `x` within low..high; a NaN gives `low`.
constexpr float bounded(float x, float low, float high) {
  if (!(x > low)) return low;
  return x > high ? high : x;
}

/// Compensated sum (Kahan 1965, "Further remarks on reducing truncation errors", Communications of
/// the ACM 8(1)): the rounding error of each addition is carried into the next.
class CompensatedSum {
 public:
  constexpr CompensatedSum() = default;
  constexpr explicit CompensatedSum(float start) : sum_(start) {}

  constexpr void add(float x) {
    const float corrected = x - error_;
    const float next = sum_ + corrected;
    error_ = (next - sum_) - corrected;
    sum_ = next;
  }
  [[nodiscard]] constexpr float value() const { return sum_; }

  friend constexpr bool operator==(const CompensatedSum&, const CompensatedSum&) = default;

 private:
  float sum_ = 0.0F;
  float error_ = 0.0F;
};

/// First-order lag, implicit Euler: stable for every step. Starts at its first input.
class Lag {
 public:
  constexpr void restart(float x) { state_ = CompensatedSum{x}; }
  /// `time` is the time constant; zero or less follows the input at once.
  constexpr void update(float x, float time_s, float dt_s) {
    if (!(time_s > 0.0F)) return restart(x);
    state_.add((x - state_.value()) * (dt_s / (time_s + dt_s)));
  }
  [[nodiscard]] constexpr float value() const { return state_.value(); }

  friend constexpr bool operator==(const Lag&, const Lag&) = default;

 private:
  CompensatedSum state_;
};

}  // namespace ovenproof::control
