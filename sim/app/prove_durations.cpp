#include "sim/app/prove_durations.hpp"

#include <algorithm>

#include "firmware/controller/configuration.hpp"

namespace ovenproof::app {

prove::Durations durations_of(const settings::Settings& s) {
  const controller::Configuration configuration = controller::configure(s);
  prove::Durations d;
  for (std::size_t i = 0; i < logic::timer_count; ++i) {
    d.timers[i] = configuration.timers[i].value;
  }
  const auto half = [](Milliseconds granted) { return std::max(granted.value / 2, 1U); };
  d.scan = s.scan.period.value;
  d.contactor = half(s.timing.contactor_response);
  d.flow = half(std::min(s.timing.flow_proof, s.timing.flow_gone));
  d.fan = half(std::min(s.timing.fan_start, s.timing.fan_stop));
  d.damper = half(std::min(s.timing.damper_open_travel, s.timing.damper_close_travel));
  d.blower = half(std::min(s.timing.blower_start, s.timing.blower_stop));
  // The controller counts one volume in this time.
  const float volume_ms = 60'000.0F * s.purge.chamber_volume_L / s.purge.counted_flow().value;
  d.purge = static_cast<std::uint32_t>(s.purge.minimum_volumes * volume_ms);
  // A healthy oven meets the gate in half the time granted.
  d.oxygen_fall = s.purge.timeout.value / 2;
  d.segments = s.programme.segment_count;
  d.ramp = 0;
  d.soak = 0;
  float from_degC = 20.0F;
  for (std::size_t i = 0; i < s.programme.segment_count; ++i) {
    const settings::Segment& segment = s.programme.segments[i];
    const float rise_K = std::max(segment.target.value - from_degC, 0.0F);
    const auto ramp = static_cast<std::uint32_t>(60'000.0F * rise_K / segment.ramp_K_per_min);
    d.ramp = std::max(d.ramp, std::max(ramp, d.scan));
    d.soak = std::max(d.soak, segment.soak.value);
    from_degC = segment.target.value;
  }
  d.elements_cool = s.cooling.fan_run_on.value;
  d.cool_down = std::max(d.elements_cool, 7'200'000U);
  return d;
}

}  // namespace ovenproof::app
