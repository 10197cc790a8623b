#pragma once
#include <cmath>
#include <cstdint>

#include <doctest/doctest.h>

#include "firmware/conditioning/oxygen_trust.hpp"

namespace ovenproof::conditioning::testing {

inline constexpr Milliseconds conversion{100};
inline constexpr OxygenTrustLimits limits{};  // 160 L, 100 L/min purge, 20 L/min process
inline constexpr double air = 209'500.0;

/// A stirred chamber with a sensor that lags, in double precision and apart from the firmware.
struct Bench {
  OxygenTrust trust;
  OxygenCircumstances now{.door_proven_closed = true, .chamber = {Celsius(20.0F), Reason::none}};
  double chamber_ppm = air;
  double sensed_ppm = air;
  double mixing = 1.0;      ///< volumes needed against a stirred chamber
  double bypass = 0.0;      ///< share of the exhaust that is fresh gas
  double leak_L_min = 0.0;  ///< of air
  double chamber_degC = 20.0;
  double lag_s = 20.0;
  double noise = 0.0;  ///< relative, alternating
  bool sensor_frozen = false;
  Reason reason = Reason::none;
  bool odd = false;

  void door(bool open) {
    now.door_fully_open = open;
    now.door_proven_closed = !open;
  }
  void purge(bool on) { now.purge_commanded = now.purge_flow_proven = on; }
  void process(bool on) { now.process_commanded = now.process_flow_proven = on; }

  void run(double minutes) {
    const int steps = static_cast<int>(minutes * 600.0);
    for (int i = 0; i < steps; ++i) {
      const double dt_min = 1.0 / 600.0;
      // Gas flows when a valve is open, whether a switch proves it or a command knows of it.
      const double inert = (now.purge_commanded || now.purge_flow_proven ? 100.0 : 0.0) +
                           (now.process_commanded || now.process_flow_proven ? 20.0 : 0.0);
      const double normal_volume = 160.0 * 273.15 / (chamber_degC + 273.15);
      chamber_ppm += dt_min / normal_volume *
                     (leak_L_min * (air - chamber_ppm) - inert / mixing * chamber_ppm);
      if (now.door_fully_open) chamber_ppm += (air - chamber_ppm) * dt_min / 0.3;
      const double exhaust = chamber_ppm * (inert > 0.0 ? 1.0 - bypass : 1.0);
      if (!sensor_frozen) sensed_ppm += (exhaust - sensed_ppm) * std::fmin(1.0, 0.1 / lag_s);
      odd = !odd;
      const double shown = sensed_ppm * (1.0 + (odd ? noise : -noise));
      // A logarithmic converter of 3000 counts a decade.
      const double decades = std::log10(std::fmax(shown, 0.1)) + 1.0;
      now.chamber.value = Celsius(static_cast<float>(chamber_degC));
      trust.update({Ppm(static_cast<float>(shown)), reason},
                   static_cast<std::uint16_t>(decades * 3000.0), now, conversion, limits);
    }
  }
};

/// An honest oven that has been loaded and is about to be purged.
inline Bench loaded() {
  Bench bench;
  bench.door(true);
  bench.run(4.0);
  bench.door(false);
  REQUIRE(bench.trust.trusted());
  return bench;
}

}  // namespace ovenproof::conditioning::testing
