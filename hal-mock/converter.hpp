#pragma once
#include <cstdint>

#include "firmware/hal/points.hpp"

namespace ovenproof::mock {

/// Counts of a physical value at that input: linear over `hal::analog_span`, to the nearest count,
/// halves upwards, saturating at 0 and 65535. NaN gives 0.
constexpr std::uint16_t counts_of(hal::AnalogIn point, double value) {
  constexpr double full = 65535.0;
  const hal::AnalogSpan span = hal::analog_span(point);
  const double zero = static_cast<double>(span.at_zero);
  const double counts = (value - zero) * (full / (static_cast<double>(span.at_full) - zero));
  if (!(counts > 0.0)) return 0;
  if (counts >= full) return 65535;
  return static_cast<std::uint16_t>(counts + 0.5);
}

}  // namespace ovenproof::mock
