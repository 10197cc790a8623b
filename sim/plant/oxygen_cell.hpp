#pragma once
#include <algorithm>

#include "sim/plant/constants.hpp"
#include "sim/plant/parameters.hpp"
#include "sim/plant/portable_math.hpp"

/// Zirconia oxygen cell and the transmitter on it.
namespace ovenproof::plant {

/// Lowest mole fraction the cell can tell: what is desorbed inside it,
/// from memory: data sheet of the cell, lower range limit: check against the source.
inline constexpr double lowest_oxygen = 1e-7;

/// Nernst emf of a zirconia cell, mV: E = R T / (4 F) ln(x_air / x), positive for lean gas.
/// Measured gas and reference air are both at the pressure of the surroundings.
constexpr double nernst_mV(double cell_K, double oxygen) {
  return 1e3 * gas_constant * cell_K / (4.0 * faraday_constant) *
         portable::log(air_oxygen / std::max(oxygen, lowest_oxygen));
}

/// What the cell presents to an input that loads it, mV. The impedance of the electrolyte falls
/// with temperature as exp(11000 K / T) (activation energy 0.95 eV,
/// from memory: data sheet of the cell, impedance against temperature: check against the source),
/// so a cold cell gives next to nothing, whatever the gas.
constexpr double loaded_cell_mV(const OxygenParameters& p, double cell_K, double oxygen) {
  const double impedance =
      p.cell_impedance_ohm *
      portable::exp(11000.0 * (1.0 / cell_K - 1.0 / to_K(p.cell_temperature_degC)));
  return nernst_mV(cell_K, oxygen) * p.input_impedance_ohm / (p.input_impedance_ohm + impedance);
}

/// Loop current of a healthy transmitter, mA, held at 3.8 and 20.5 (NAMUR NE 43).
constexpr double transmitter_mA(const OxygenParameters& p, double oxygen) {
  const double ppm = std::max(oxygen, lowest_oxygen) * 1e6;
  const double share =
      p.scale == TransmitterScale::linear
          ? (ppm - p.transmitter_low_ppm) / (p.transmitter_high_ppm - p.transmitter_low_ppm)
          : portable::log(ppm / p.transmitter_low_ppm) /
                portable::log(p.transmitter_high_ppm / p.transmitter_low_ppm);
  return std::clamp(4.0 + 16.0 * share, 3.8, 20.5);
}

}  // namespace ovenproof::plant
