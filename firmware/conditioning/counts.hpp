#pragma once
#include <cstdint>

#include "firmware/hal/points.hpp"

/// Converter counts to the physical signal at the terminals.
namespace ovenproof::conditioning {

/// Counts from here up are a signal pulled to full scale (the top 0.5 % of the span): an open
/// thermocouple, cell or Pt100. No input's valid range reaches it.
inline constexpr std::uint16_t open_circuit_count = 65208;
/// Counts up to here are a shorted Pt100 (the lowest 0.5 % of its span).
inline constexpr std::uint16_t short_circuit_count = 327;

/// Signal at the terminals of `point`, in the unit named at hal::AnalogIn.
constexpr float physical(hal::AnalogIn point, std::uint16_t count) {
  const hal::AnalogSpan span = hal::analog_span(point);
  return span.at_zero + static_cast<float>(count) * ((span.at_full - span.at_zero) / 65535.0F);
}

}  // namespace ovenproof::conditioning
