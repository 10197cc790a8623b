#pragma once
#include <optional>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/sizing/size.hpp"

/// Heat as a handbook takes it: wall and load as two lumps that follow the gas. Temperatures in
/// degC, those of the gas. A cross-check on the simulated oven: it shares the parameters and
/// nothing else.
namespace ovenproof::sizing {

/// On the way from one temperature to another.
struct Course {
  std::vector<Point> points;  ///< from 0 s on
  double seconds = 0.0;
  double gave_off_J = 0.0;              ///< by what cooled; negative: took up
  double heater_J = 0.0;                ///< electric heat that it took
  double jacket_J = 0.0;                ///< heat into the jacket air
  double most_make_up_L_per_min = 0.0;  ///< highest flow that shrinking gas takes up, from 30 s on
  bool as_asked = true;  ///< false: slower than the programme's ramp, for want of power
};

/// What takes heat from the wall by jacket air at full flow.
struct Jacket {
  double air_W_per_K = 0.0;    ///< m cp
  double effectiveness = 0.0;  ///< 0..1
  [[nodiscard]] double W_per_K() const { return air_W_per_K * effectiveness; }
};

/// No flow at all if the oven has no jacket cooling.
Jacket jacket_of(const plant::CoolingParameters& cooling);

/// Time constant with which the inside of the load follows the gas, s.
double load_time_constant_s(const plant::Parameters& plant, double degC);

/// Ramps and soaks of the programme, from cold: the gas follows the programme as far as the
/// heater's power allows, wall and load follow the gas. Ends before the first ramp that never gets
/// to its target.
std::vector<Course> heating(const machine::Machine& machine);

/// Cooling under process gas and fan, with or without jacket air; empty if it takes more than a
/// month.
std::optional<Course> cool(const plant::Parameters& plant, double from_degC, double to_degC,
                           bool jacket);

/// Where cooling ends when it is given for ever, degC: the fan's work against the losses.
double cooling_end_degC(const plant::Parameters& plant, bool jacket);

}  // namespace ovenproof::sizing
