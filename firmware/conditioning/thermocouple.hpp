#pragma once
#include <cstdint>

#include "firmware/conditioning/reading.hpp"
#include "firmware/hal/points.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

enum class ThermocoupleType : std::uint8_t { K, N };

/// Temperatures a thermocouple conversion covers; beyond them it holds the end.
inline constexpr Celsius thermocouple_min{-60.0F};
inline constexpr Celsius thermocouple_max{1250.0F};

struct ThermocoupleLimits {
  Celsius min{-20.0F};   ///< not below thermocouple_min
  Celsius max{1100.0F};  ///< not above thermocouple_max
};

/// Electromotive force of a thermocouple with its cold junction at 0 degC.
Millivolts thermocouple_emf(ThermocoupleType type, Celsius temperature);

/// Temperature by the ITS-90 reference function (IEC 60584-1), inverse of thermocouple_emf;
/// within 0.03 K of it.
Celsius thermocouple_temperature(ThermocoupleType type, Millivolts emf);

/// One conversion of a thermocouple input: counts to mV, plus the cold junction's own emf, to
/// temperature. `point`: te_a, te_b or oxygen_cell_tc. Open circuit is known by full scale before
/// anything else; without a valid cold junction there is no temperature.
Reading<Celsius> thermocouple(hal::AnalogIn point, std::uint16_t count, ThermocoupleType type,
                              const Reading<Celsius>& cold_junction,
                              const ThermocoupleLimits& limits);

}  // namespace ovenproof::conditioning
