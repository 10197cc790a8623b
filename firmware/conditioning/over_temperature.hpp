#pragma once
#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct OverTemperatureLimits {
  Celsius limit{600.0F};      ///< above: over-temperature
  Kelvins hysteresis{10.0F};  ///< ends at or below limit - this
};

/// The controller's own over-temperature alarm (the limiter is separate and hard-wired). An
/// invalid reading changes nothing: its validity must be asked apart.
class OverTemperature {
 public:
  constexpr void update(const Reading<Celsius>& temperature, const OverTemperatureLimits& limits) {
    if (!temperature.valid()) return;
    const float t = temperature.value.value;
    const float release = limits.limit.value - limits.hysteresis.value;
    active_ = active_ ? t > release || t > limits.limit.value : t > limits.limit.value;
  }
  [[nodiscard]] constexpr bool active() const { return active_; }

 private:
  bool active_ = false;
};

}  // namespace ovenproof::conditioning
