#include "firmware/conditioning/oxygen_thresholds.hpp"

namespace ovenproof::conditioning {

void OxygenThresholds::update(const Reading<Ppm>& oxygen, const OxygenThresholdLimits& limits) {
  const Ppm ppm = oxygen.value;
  if (!oxygen.valid()) {
    level_ = Level::between;
  } else if (ppm > limits.hold) {
    level_ = Level::above_hold;
  } else if (ppm <= limits.gate) {
    level_ = Level::at_gate;
  } else if ((level_ == Level::above_hold && ppm <= limits.hold - limits.hold_hysteresis) ||
             (level_ == Level::at_gate && ppm > limits.gate + limits.gate_hysteresis)) {
    level_ = Level::between;
  }
}

}  // namespace ovenproof::conditioning
