#pragma once
#include "firmware/control/accumulate.hpp"
#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// Estimates how fast the gas in the chamber shrinks while it cools.
///
/// Ideal gas at constant pressure p0 = 101.325 kPa in the volume V: n = p0 V / (R T), so the gas
/// that must flow in to keep the pressure is, as a flow at T0 = 273.15 K and p0,
///
///   q = V T0 / T^2 (-dT/dt).
///
/// dT/dt is the measured rate through a first-order lag (`shrink_filter`).
class GasContraction {
 public:
  /// One scan. `valid` false (or a temperature that is not finite, or none a chamber can have)
  /// starts the estimate again. `dt`: time since the last update.
  void update(Celsius chamber, bool valid, float chamber_volume_L,
              const settings::Cooling& settings, Milliseconds dt);

  /// L/min; negative while the gas expands. Zero until there is an estimate.
  [[nodiscard]] LitresPerMinute shrink() const { return shrink_; }
  /// The estimate has had three times its filter's time constant to settle.
  [[nodiscard]] bool ready() const { return ready_; }
  /// The allowed share of the process flow makes up for the shrinkage, so that the chamber draws
  /// nothing in through seals and exhaust while that flow is on.
  [[nodiscard]] bool made_up(LitresPerMinute process_flow, const settings::Cooling& settings) const;
  /// The process flow may stop: made up for, chamber at most at the settled temperature, and
  /// shrinking slower than the settled shrinkage.
  [[nodiscard]] bool settled(LitresPerMinute process_flow, const settings::Cooling& settings) const;

  friend bool operator==(const GasContraction&, const GasContraction&) = default;

 private:
  bool running_ = false;
  bool ready_ = false;
  Milliseconds age_{};
  Lag filtered_;  ///< chamber temperature, degC
  Celsius chamber_{};
  LitresPerMinute shrink_{};
};

}  // namespace ovenproof::control
