#include "firmware/control/scan_supervision.hpp"

namespace ovenproof::control {

ScanTiming ScanSupervision::update(Milliseconds now, const settings::Scan& settings) {
  // A clock that goes back shows as a step of nearly 2^32 ms.
  const Milliseconds step = now - last_;
  const bool first = !started_;
  started_ = true;
  last_ = now;
  if (first) return {.dt = settings.period};
  if (step == Milliseconds{} || step > settings.clock_jump)
    return {.dt = settings.period, .clock_jump = true};
  return {.dt = step, .overrun = step > settings.overrun_limit};
}

}  // namespace ovenproof::control
