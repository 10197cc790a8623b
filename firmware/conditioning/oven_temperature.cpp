#include "firmware/conditioning/oven_temperature.hpp"

#include "firmware/math/saturate.hpp"

namespace ovenproof::conditioning {

void RateCheck::update(const Reading<Celsius>& reading, Milliseconds elapsed,
                       const OvenTemperatureLimits& limits) {
  if (!reading.valid()) {
    anchored_ = false;
    return;
  }
  age_ = math::saturating_add(age_, elapsed);
  if (anchored_) {
    const Kelvins change((reading.value - anchor_).value);
    const bool impossible = change > limits.max_rise || change < Kelvins(-limits.max_fall.value);
    if (!impossible && age_ < limits.rate_window) return;
    implausible_ = impossible;
  }
  anchor_ = reading.value;
  age_ = Milliseconds(0);
  anchored_ = true;
}

void OvenTemperature::update(const Reading<Celsius>& a, const Reading<Celsius>& b,
                             Milliseconds elapsed, const OvenTemperatureLimits& limits) {
  rate_[0].update(a, elapsed, limits);
  if (limits.sensors < 2) {
    reading_ = a;
    return;
  }
  rate_[1].update(b, elapsed, limits);
  if (!a.valid()) {
    reading_ = {b.valid() ? b.value : a.value, a.reason};
    return;
  }
  if (!b.valid()) {
    reading_ = {a.value, b.reason};
    return;
  }
  reading_ = a.value > b.value ? a : b;
  const float apart = math::absolute(a.value.value - b.value.value);
  differing_ = apart > limits.disagreement.value ? math::saturating_add(differing_, elapsed)
                                                 : Milliseconds(0);
  disagree_ = differing_ > limits.disagreement_time;
}

}  // namespace ovenproof::conditioning
