#include "firmware/control/pid.hpp"

namespace ovenproof::control {
namespace {

// No oven is hotter or colder than this; it keeps every product below finite.
constexpr float largest_C = 5'000.0F;

}  // namespace

Fraction Pid::update(Celsius setpoint, Celsius measured, bool permitted,
                     const settings::Control& settings, Milliseconds dt) {
  if (!permitted || !finite(setpoint.value) || !finite(measured.value)) {
    *this = Pid{};
    return Fraction{0.0F};
  }
  const float gain = settings.gain_per_K;
  const float target = bounded(setpoint.value, -largest_C, largest_C);
  const float reading = bounded(measured.value, -largest_C, largest_C);
  const float error = target - reading;
  if (!running_) {
    running_ = true;
    filtered_.restart(reading);
    integral_ = CompensatedSum{-gain * error};
    unlimited_ = 0.0F;
    return Fraction{0.0F};
  }

  const float step = seconds(dt) / seconds(settings.integral_time);
  integral_.add(gain * error * step);

  float derivative = 0.0F;
  const float filter_s = seconds(settings.derivative_filter);
  filtered_.update(reading, filter_s, seconds(dt));
  if (filter_s > 0.0F)
    derivative =
        -gain * (seconds(settings.derivative_time) / filter_s) * (reading - filtered_.value());
  unlimited_ = gain * error + integral_.value() + derivative;
  return Fraction{bounded(unlimited_, 0.0F, 1.0F)};
}

void Pid::track(Fraction applied, const settings::Control& settings, Milliseconds dt) {
  if (!running_) return;
  const float integral_s = seconds(settings.integral_time);
  const float derivative_s = seconds(settings.derivative_time);
  const float tracking_s = derivative_s > 0.0F ? (integral_s + derivative_s) / 2.0F : integral_s;
  // More than the whole difference in one step would overshoot, and grow from step to step.
  const float share = bounded(seconds(dt) / tracking_s, 0.0F, 1.0F);
  integral_.add((bounded(applied.value, 0.0F, 1.0F) - unlimited_) * share);
}

}  // namespace ovenproof::control
