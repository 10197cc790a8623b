#pragma once
#include "firmware/control/accumulate.hpp"
#include "firmware/math/units.hpp"
#include "firmware/settings/settings.hpp"

namespace ovenproof::control {

/// Temperature controller, ISA standard form:
///
///   v = K (e + 1/Ti integral(e) - Td dy_f/dt),   e = setpoint - y,   u = v limited to 0..1
///
/// with y_f the measurement y through a first-order lag (`derivative_filter`), so that neither a
/// moved setpoint nor noise kicks the output. Implicit Euler.
///
/// Anti-windup by back-calculation (Astrom and Hagglund, PID Controllers: Theory, Design, and
/// Tuning, 2nd ed. 1995, section 3.5): the integral is driven by (u - v)/Tt, with u what was really
/// applied. Chosen over clamping (stopping the integral while limited) because the drive downstream
/// limits too, by largest drive and rate, which clamping at 0 and 1 would not see. Tt is the
/// integral time, or the mean of integral and derivative time where there is a derivative; the
/// book's rule is Td < Tt < Ti with their geometric mean as example, which would need a root.
class Pid {
 public:
  /// One scan; gives u, 0..1. Not `permitted`, or an input that is not finite: 0, and the next
  /// permitted scan starts bumplessly, that is from 0 whatever the error then is.
  /// `dt`: time since the last update.
  Fraction update(Celsius setpoint, Celsius measured, bool permitted,
                  const settings::Control& settings, Milliseconds dt);

  /// Tells what was applied of the last output, 0..1. To be called after each update.
  void track(Fraction applied, const settings::Control& settings, Milliseconds dt);

  /// The integral part, 1 = full drive.
  [[nodiscard]] float integral() const { return integral_.value(); }

  friend bool operator==(const Pid&, const Pid&) = default;

 private:
  bool running_ = false;
  CompensatedSum integral_;
  Lag filtered_;  ///< y_f, degC
  float unlimited_ = 0.0F;
};

}  // namespace ovenproof::control
