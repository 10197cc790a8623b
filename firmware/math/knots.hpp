#pragma once
#include <array>
#include <cstddef>

/// Linear interpolation in a table of a strictly increasing function, both ways.
namespace ovenproof::math {

/// y at x = first, first + step, ...: strictly increasing. Between knots linear, beyond the ends
/// held. Both directions are monotone in float32, knot to knot as well as between.
template <std::size_t N>
struct Knots {
  static_assert(N >= 2);
  float first;
  float step;
  std::array<float, N> y;

  [[nodiscard]] constexpr float last() const { return first + step * static_cast<float>(N - 1); }

  /// y at x.
  [[nodiscard]] constexpr float value_at(float x) const {
    const float position = (x - first) / step;
    if (!(position > 0.0F)) return y.front();
    if (position >= static_cast<float>(N - 1)) return y.back();
    const auto i = static_cast<std::size_t>(position);
    return y[i] + (y[i + 1] - y[i]) * (position - static_cast<float>(i));
  }

  /// x at which the function is `value`.
  [[nodiscard]] constexpr float argument_of(float value) const {
    if (!(value > y.front())) return first;
    if (value >= y.back()) return last();
    std::size_t low = 0;
    std::size_t high = N - 1;  // y[low] < value < y[high] or value == y[low]
    while (high - low > 1) {
      const std::size_t middle = (low + high) / 2;
      (value < y[middle] ? high : low) = middle;
    }
    const float part = (value - y[low]) / (y[high] - y[low]);
    return first + step * (static_cast<float>(low) + part);
  }
};

}  // namespace ovenproof::math
