#include "firmware/conditioning/oven_temperature.hpp"

#include "firmware/math/saturate.hpp"

namespace ovenproof::conditioning {

void RateCheck::update(const Reading<Celsius>& reading, bool door_closed, Milliseconds elapsed,
                       const OvenTemperatureLimits& limits) {
  if (!reading.valid()) {
    anchored_ = false;
    return;
  }
  age_ = math::saturating_add(age_, elapsed);
  closed_ = closed_ && door_closed;
  if (anchored_) {
    const Kelvins change((reading.value - anchor_).value);
    const Kelvins fall = closed_ ? limits.max_fall_closed : limits.max_fall;
    const bool impossible = change > limits.max_rise || change < Kelvins(-fall.value);
    if (!impossible && age_ < limits.rate_window) return;
    implausible_ = implausible_ || impossible;
  }
  anchor_ = reading.value;
  age_ = Milliseconds(0);
  anchored_ = true;
  closed_ = door_closed;
}

void OvenTemperature::update(const Reading<Celsius>& a, const Reading<Celsius>& b, bool door_closed,
                             Milliseconds elapsed, const OvenTemperatureLimits& limits) {
  rate_[0].update(a, door_closed, elapsed, limits);
  if (limits.sensors < 2) {
    reading_ = a;
    return;
  }
  rate_[1].update(b, door_closed, elapsed, limits);
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
