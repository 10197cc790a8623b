#pragma once
#include <cmath>
#include <cstdint>

#include "firmware/hal/points.hpp"

namespace ovenproof::test {

/// The count a converter gives for a physical signal, computed apart from the firmware's scaling.
inline std::uint16_t count_of(hal::AnalogIn point, double signal) {
  const hal::AnalogSpan span = hal::analog_span(point);
  const double part = (signal - span.at_zero) / (static_cast<double>(span.at_full) - span.at_zero);
  return static_cast<std::uint16_t>(std::lround(std::fmin(std::fmax(part, 0.0), 1.0) * 65535.0));
}

}  // namespace ovenproof::test
