#pragma once
#include <cstdint>

#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

/// Oxygen in dry air, the reference of the cell and what it must read with the door open.
inline constexpr Ppm oxygen_in_air{209'500.0F};

struct OxygenCellLimits {
  Celsius set_temperature{750.0F};   ///< of the cell heater, 600..900 degC
  Kelvins band{15.0F};               ///< the cell measures within +- this of its set temperature
  Milliseconds settle_time{60'000};  ///< in the band for this long before it is believed
  Ppm min{0.01F};       ///< less is no oxygen level but burning traces or a fault: under_range
  Ppm max{250'000.0F};  ///< more than air can give: over_range
};

/// Oxygen in the measured gas by the Nernst equation, 0..1,000,000 ppm:
/// p = p_ref exp(-4 F E / (R T)), E positive when the gas is leaner than the reference air.
Ppm nernst_oxygen(Millivolts emf, Celsius cell_temperature);

/// A heated zirconia cell with its own type K thermocouple.
class OxygenCell {
 public:
  /// One conversion of hal::AnalogIn::oxygen_cell, with the cell's temperature from
  /// hal::AnalogIn::oxygen_cell_tc. Leaving the band starts the warm-up again.
  const Reading<Ppm>& update(std::uint16_t count, const Reading<Celsius>& cell_temperature,
                             Milliseconds elapsed, const OxygenCellLimits& limits);

  [[nodiscard]] const Reading<Ppm>& reading() const { return reading_; }

 private:
  Reading<Ppm> reading_;
  Milliseconds in_band_{0};
  bool was_in_band_ = false;
};

}  // namespace ovenproof::conditioning
