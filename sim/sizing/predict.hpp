#pragma once
#include <optional>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/sizing/heat_model.hpp"
#include "sim/sizing/size.hpp"

namespace ovenproof::sizing {

/// Everything that the formulas say about a machine, SI or as named. What they say never comes
/// about is absent.
struct Prediction {
  bool monitored = true;   ///< has an oxygen monitor
  double level_ppm = 0.0;  ///< to be met and held: the gate, or without monitor the load's limit
  double held_ppm = 0.0;   ///< level divided by the margin
  double last_degC = 0.0;  ///< the last target, from which it cools
  double unload_degC = 0.0;

  double floor_purge_ppm = 0.0, floor_process_ppm = 0.0;
  std::optional<double> gate_volumes;  ///< volume changes from air to the level
  std::optional<double> gate_s;        ///< time for those
  double minimum_s = 0.0;              ///< the controller's least volumes by proven flow
  std::optional<double> purge_s;       ///< start to gate met
  std::optional<double> purge_end_ppm;
  std::optional<double> holding_L_per_min;        ///< flow that holds `held_ppm`
  std::optional<double> least_process_L_per_min;  ///< and makes up for the shrinking gas

  std::optional<Course> first_ramp;
  std::vector<Course> heating;  ///< ramps and soaks; empty if a target is never reached
  double heating_s = 0.0, heating_J = 0.0;
  double hold_W = 0.0;  ///< at the last target
  std::optional<Course> cool_jacket, cool_still;
  double still_end_degC = 0.0;  ///< where cooling without jacket air ends
  Jacket jacket;
  std::optional<double> door_s;  ///< end of heating until load and wall are cool as well
  double casing_degC = 0.0;      ///< at the hottest target, steady

  std::optional<double> cycle_s;
  std::optional<double> gas_L;              ///< of a cycle
  std::optional<double> saved_share;        ///< against purge flow throughout
  std::optional<double> saved_share_least;  ///< the same with the least process flow
  double cylinders_L = 0.0;                 ///< what the connected cylinders give off
  double expansion_L_per_min = 0.0;         ///< highest, at the start of the first ramp

  double release_L_per_min = 0.0;  ///< purge flow at the room's temperature
  double ventilation_L_per_min = 0.0;
  double room_L = 0.0;

  /// How the oven cools in its cycle: by the jacket where it has one.
  [[nodiscard]] const std::optional<Course>& cooling() const {
    return jacket.air_W_per_K > 0.0 ? cool_jacket : cool_still;
  }
};

Prediction predict(const machine::Machine& machine, const Options& options);

/// Oxygen, ppm, and gas temperature, degC, over the whole cycle.
std::vector<Point> predicted_oxygen(const machine::Machine& machine, const Prediction& prediction);
std::vector<Point> predicted_temperature(const Prediction& prediction);

}  // namespace ovenproof::sizing
