#pragma once
#include <cstdint>

#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct ColdJunctionLimits {
  Celsius min{-20.0F};
  Celsius max{80.0F};
};

/// Temperature of a Pt100 by IEC 60751 (R0 = 100 ohm, A = 3.9083e-3, B = -5.775e-7,
/// C = -4.183e-12), within 0.005 K over -60..130 degC; held beyond.
Celsius pt100_temperature(Ohms resistance);

/// The cold junction: one conversion of hal::AnalogIn::cold_junction. open_circuit and
/// short_circuit by the ends of the span, under_range and over_range by the limits.
Reading<Celsius> cold_junction(std::uint16_t count, const ColdJunctionLimits& limits);

}  // namespace ovenproof::conditioning
