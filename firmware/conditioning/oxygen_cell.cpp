#include "firmware/conditioning/oxygen_cell.hpp"

#include "firmware/conditioning/counts.hpp"
#include "firmware/math/exp_log.hpp"
#include "firmware/math/saturate.hpp"

namespace ovenproof::conditioning {

Ppm nernst_oxygen(Millivolts emf, Celsius cell_temperature) {
  constexpr float faraday = 96485.33212F;                            // C/mol, CODATA 2018
  constexpr float gas_constant = 8.314462618F;                       // J/(mol K), CODATA 2018
  constexpr float per_mV = 4.0F * faraday / gas_constant / 1000.0F;  // K/mV, four electrons per O2
  const float kelvin = math::clamp(cell_temperature.value + 273.15F, 1.0F, 1e4F);
  const float ppm = oxygen_in_air.value * math::exp(-(per_mV * emf.value) / kelvin);
  return Ppm(math::clamp(ppm, 0.0F, 1'000'000.0F));
}

const Reading<Ppm>& OxygenCell::update(std::uint16_t count,
                                       const Reading<Celsius>& cell_temperature,
                                       Milliseconds elapsed, const OxygenCellLimits& limits) {
  const float off_set = cell_temperature.value.value - limits.set_temperature.value;
  const bool in_band = cell_temperature.valid() && math::absolute(off_set) <= limits.band.value;
  // The time before the first sample in the band does not count.
  in_band_ = in_band && was_in_band_ ? math::saturating_add(in_band_, elapsed) : Milliseconds(0);
  was_in_band_ = in_band;

  if (count >= open_circuit_count) {
    reading_.reason = Reason::open_circuit;
    return reading_;
  }
  if (!cell_temperature.valid()) {
    reading_.reason = Reason::cell_thermocouple;
    return reading_;
  }
  reading_.value = nernst_oxygen(Millivolts(physical(hal::AnalogIn::oxygen_cell, count)),
                                 cell_temperature.value);
  if (!in_band || in_band_ < limits.settle_time) {
    reading_.reason = Reason::warming_up;
  } else if (reading_.value < limits.min) {
    reading_.reason = Reason::under_range;
  } else if (reading_.value > limits.max) {
    reading_.reason = Reason::over_range;
  } else {
    reading_.reason = Reason::none;
  }
  return reading_;
}

}  // namespace ovenproof::conditioning
