#pragma once
#include <optional>

#include "sim/plant/parameters.hpp"

/// Trials on the simulated oven alone, without its controller: valves, fan and damper are held by
/// hand. What a commissioning engineer would measure. All throw std::invalid_argument if the oven
/// cannot be stepped.
namespace ovenproof::sizing {

/// Purging a cold oven full of air at purge flow with the fan at full speed.
struct PurgeTrial {
  std::optional<double> seconds;   ///< until the chamber's mean oxygen met the level; empty: never
  double gas_L = 0.0;              ///< used until then
  double mean_L_per_min = 0.0;     ///< flow
  double exhaust_L_per_min = 0.0;  ///< at the end
};
PurgeTrial purge_trial(const plant::Parameters& plant, double level_ppm, double limit_s);

/// Oxygen at which a steady flow through the process path settles, ppm.
double floor_trial_ppm(const plant::Parameters& plant, double flow_L_per_min);

/// Flow that settles at `level_ppm`, found by trying flows from `first_L_per_min` on; empty if none
/// within 0.1 % was found.
std::optional<double> holding_trial_L_per_min(const plant::Parameters& plant, double level_ppm,
                                              double first_L_per_min);

/// Cooling from a chamber soaked through at one temperature, under process gas and fan.
struct CoolingTrial {
  std::optional<double> gas_s;  ///< until the gas was down at the temperature; empty: never
  std::optional<double> all_s;  ///< until wall and load, outside and inside, were too
  double least_degC = 0.0;      ///< coldest gas that was seen
  double mean_W = 0.0;          ///< heat that left until `gas_s`
  double jacket_mean_W = 0.0;   ///< by the jacket air alone, until `gas_s`
  double air_mean_degC = 0.0;   ///< jacket air behind the wall, mean until `gas_s`
  double air_peak_degC = 0.0;
  double make_up_L_per_min = 0.0;  ///< highest flow that the shrinking gas took up, mean of 30 s
  double lowest_Pa = 0.0;          ///< lowest chamber pressure, gauge, once it was cooling
  double gas_L_per_min = 0.0;      ///< mean process flow
};
CoolingTrial cooling_trial(const plant::Parameters& plant, double from_degC, double to_degC,
                           bool jacket, double limit_s);

/// Purge gas released into the room by a chamber that is already inert.
struct RoomTrial {
  double steady = 0.0;              ///< oxygen at the end, mole fraction
  std::optional<double> warning_s;  ///< until the room fell to the warning level; empty: never
};
RoomTrial room_trial(const plant::Parameters& plant, double ventilation_share, double limit_s);

}  // namespace ovenproof::sizing
