#include "firmware/conditioning/current_loop.hpp"

#include "firmware/conditioning/counts.hpp"
#include "firmware/math/exp_log.hpp"
#include "firmware/math/saturate.hpp"

namespace ovenproof::conditioning {

// NAMUR NE 43.
LoopState classify(Milliamps current) {
  if (current >= Milliamps(21.0F)) return LoopState::failure_high;
  if (current > Milliamps(20.5F)) return LoopState::undefined_high;
  if (current >= Milliamps(3.8F)) return LoopState::measurement;
  if (current > Milliamps(3.6F)) return LoopState::undefined_low;
  return LoopState::failure_low;
}

Ppm scaled(Milliamps current, const CurrentLoopLimits& limits) {
  const float low = limits.at_4_mA.value;
  const float high = limits.at_20_mA.value;
  const float part = (current.value - 4.0F) / 16.0F;
  const float ppm = limits.scale == LoopScale::logarithmic
                        ? low * math::exp(part * math::log(high / low))
                        : low + part * (high - low);
  return Ppm(math::clamp(ppm, 0.0F, 1'000'000.0F));
}

const Reading<Ppm>& CurrentLoop::update(std::uint16_t count, Milliseconds elapsed,
                                        const CurrentLoopLimits& limits) {
  const Milliamps current(physical(hal::AnalogIn::oxygen_loop, count));
  switch (classify(current)) {
    case LoopState::measurement:
      reading_ = {scaled(current, limits), Reason::none};
      held_ = Milliseconds(0);
      break;
    case LoopState::failure_low:
      reading_.reason = Reason::loop_failure_low;
      break;
    case LoopState::failure_high:
      reading_.reason = Reason::loop_failure_high;
      break;
    case LoopState::undefined_low:
    case LoopState::undefined_high:
      held_ = math::saturating_add(held_, elapsed);
      if (reading_.valid() && held_ > limits.hold_time) reading_.reason = Reason::loop_undefined;
      break;
  }
  return reading_;
}

}  // namespace ovenproof::conditioning
