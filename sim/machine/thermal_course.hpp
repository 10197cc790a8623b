#pragma once
#include <cstddef>
#include <optional>

#include "sim/machine/machine.hpp"

namespace ovenproof::machine {

/// Temperatures of one whole cycle and when its cooling ends.
struct ThermalCourse {
  double reading_degC = 0.0;        ///< highest control temperature
  std::size_t reading_segment = 0;  ///< in this segment of the programme, from 0
  double limiter_degC = 0.0;        ///< highest temperature of the limiter's sensor
  std::size_t limiter_segment = 0;

  /// End of heat until the control temperature is at `cooling.unload_temperature`, s; empty if it
  /// is not within `longest_cooling_s`, or the programme does not end within its timeout.
  std::optional<double> cool_s;
  double shrink_L_per_min = 0.0;  ///< by which the gas shrinks then, as the controller estimates it
  /// End of heat until the gas is settled as well and the load may be unloaded, s; empty as above.
  std::optional<double> settled_s;
  /// Control temperature when the gas was settled; else the last one.
  double last_degC = 0.0;
  bool heated = false;  ///< the programme ended within its timeout
};

/// How long cooling is looked at, s.
inline constexpr double longest_cooling_s = 86'400.0;

/// The programme, the PID controller, the heater drive and the estimate of gas contraction, which
/// are the firmware's own, on the plant model: from a cold oven full of inert gas, fan and process
/// gas on, to the end of cooling with jacket air where there is any. Without logic: no purge, no
/// trip (the limiter does not act either, so that its sensor shows how hot it would get), no
/// re-purge. Sensors read what they feel, without converters' errors; the controller takes the
/// higher of two thermocouples, once every conversion. Of a four-hour programme and its cooling it
/// takes some tenths of a second.
ThermalCourse thermal_course(const Machine& machine);

}  // namespace ovenproof::machine
