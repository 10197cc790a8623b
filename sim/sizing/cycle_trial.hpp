#pragma once
#include <optional>
#include <string>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/sizing/size.hpp"

namespace ovenproof::sizing {

/// What was seen of one whole cycle, worked by the firmware itself on a cold oven. Times are since
/// the start of the cycle; what the cycle never reached is absent.
struct CycleTrial {
  std::string problem;             ///< why it did not end well, or the hazards met; empty if it did
  std::optional<double> purge_s;   ///< start to gate met
  std::optional<double> gate_ppm;  ///< mean of the chamber when the gate was met
  std::optional<double> heat_up_s;  ///< gate met to the first soak
  std::optional<double> heating_s;  ///< gate met to the end of the last soak
  std::optional<double> cooling_s;  ///< end of the last soak to unloading
  std::optional<double> cycle_s;    ///< start to unloading
  std::optional<double> gas_L;
  std::optional<double> hold_W;     ///< heater's mean over the last fifth of the last soak
  std::optional<double> heat_up_W;  ///< heater's mean over the first ramp
  std::optional<double> energy_kWh;
  std::optional<double> exhaust_peak_L_per_min;  ///< after the gate, highest mean of 30 s
  std::optional<double> room_lowest;             ///< mole fraction
  std::optional<double> casing_peak_degC;
  unsigned repurges = 0;
  std::vector<Point> oxygen_ppm;  ///< every 5 s
  std::vector<Point> gas_degC;
};

/// Runs one cycle. Throws std::invalid_argument if the oven cannot be stepped.
CycleTrial cycle_trial(const machine::Machine& machine);

}  // namespace ovenproof::sizing
