#include "firmware/conditioning/heat_plausibility.hpp"

#include "firmware/math/saturate.hpp"

namespace ovenproof::conditioning {

void HeatPlausibility::update(const Reading<Celsius>& temperature, const HeatCircumstances& now,
                              Milliseconds elapsed, const HeatPlausibilityLimits& limits) {
  const bool unchanged = now.fan_running == fan_was_running_ && now.cooling == was_cooling_;
  fan_was_running_ = now.fan_running;
  was_cooling_ = now.cooling;
  if (!temperature.valid()) {
    high_for_ = Milliseconds(0);
    heating_ = false;
    quiet_for_ = Milliseconds(0);
    no_rise_ = false;
    rise_without_demand_ = false;
    undemanded_ = false;
    overshoot_ = false;
    return;
  }
  judge_overshoot(temperature.value.value, now.heating && now.drive <= Fraction(0.0F), limits);
  judge_heating(temperature.value.value, now.drive, elapsed, limits);
  const bool quiet = now.drive <= Fraction(0.0F) && now.door_closed && unchanged;
  judge_idle(temperature.value.value, quiet, elapsed, limits);
}

void HeatPlausibility::judge_heating(float t, Fraction drive, Milliseconds elapsed,
                                     const HeatPlausibilityLimits& limits) {
  if (drive <= Fraction(0.0F)) {
    heating_ = false;
    no_rise_ = false;
    return;
  }
  if (!heating_ || t >= heating_from_ + limits.min_rise.value) {
    heating_ = true;
    heating_from_ = t;
    high_for_ = Milliseconds(0);
    no_rise_ = false;
    return;
  }
  if (drive >= limits.high_drive) {
    high_for_ = math::saturating_add(high_for_, elapsed);
  } else {
    // Paid back rather than forgotten: a drive that dips for a moment is still high.
    high_for_ = high_for_ > elapsed ? high_for_ - elapsed : Milliseconds(0);
    if (high_for_ == Milliseconds(0)) heating_from_ = t;
  }
  no_rise_ = high_for_ >= limits.no_rise_time;
}

void HeatPlausibility::judge_idle(float t, bool quiet, Milliseconds elapsed,
                                  const HeatPlausibilityLimits& limits) {
  if (!quiet) {
    quiet_for_ = Milliseconds(0);
    rise_without_demand_ = false;
    return;
  }
  quiet_for_ = math::saturating_add(quiet_for_, elapsed);
  if (quiet_for_ < limits.grace) {
    idle_reference_ = t;
    return;
  }
  const float minutes = static_cast<float>(elapsed.value) / 60'000.0F;
  const float allowed = idle_reference_ + limits.slow_rise_K_per_min * minutes;
  idle_reference_ = t < allowed ? t : allowed;
  rise_without_demand_ = t - idle_reference_ > limits.max_rise.value;
}

void HeatPlausibility::judge_overshoot(float t, bool undemanded,
                                       const HeatPlausibilityLimits& limits) {
  if (!undemanded_ || t < lowest_undemanded_) lowest_undemanded_ = t;
  undemanded_ = undemanded;
  overshoot_ = undemanded && t - lowest_undemanded_ > limits.max_overshoot.value;
}

}  // namespace ovenproof::conditioning
