#include "firmware/control/programme.hpp"

#include <algorithm>

#include "firmware/control/accumulate.hpp"

namespace ovenproof::control {
namespace {

std::uint32_t last_index(const settings::Programme& settings) {
  const auto count = std::clamp<std::uint32_t>(settings.segment_count, 1, settings::max_segments);
  return count - 1;
}

/// The segment in work; within the table even if the settings were changed under a programme.
const settings::Segment& at(const settings::Programme& settings, std::uint32_t segment) {
  return settings.segments[std::min(segment, last_index(settings))];
}

float distance(Celsius a, Celsius b) { return a > b ? a.value - b.value : b.value - a.value; }

}  // namespace

void Programme::move_setpoint(Celsius measured, bool fresh, const settings::Segment& segment,
                              Kelvins lag_limit, Milliseconds dt) {
  if (fresh) {
    start_ = setpoint_ = measured;
    ramped_ = Milliseconds{};
  } else if (setpoint_ != segment.target) {
    const bool upwards = segment.target > start_;
    const float behind =
        upwards ? setpoint_.value - measured.value : measured.value - setpoint_.value;
    const bool waits = lag_limit.value > 0.0F && behind > lag_limit.value;
    if (!waits) ramped_ = saturating_sum(ramped_, dt);
    const float way = segment.ramp_K_per_min * (static_cast<float>(ramped_.value) / 60'000.0F);
    setpoint_ = upwards ? std::min(segment.target, Celsius{start_.value + way})
                        : std::max(segment.target, Celsius{start_.value - way});
  }
  at_target_ = setpoint_ == segment.target;
}

void Programme::update(ProgrammeCommands commands, Celsius measured, bool valid,
                       const settings::Programme& settings, Milliseconds dt) {
  const bool advance = commands.advance && !advance_seen_;
  if (commands.restart) *this = Programme{};
  advance_seen_ = commands.advance;
  if (commands.restart) return;
  if (advance && segment_ < last_index(settings)) {
    ++segment_;
    // The next ramp goes on from the setpoint, not from the measurement: no bump.
    start_ = setpoint_;
    ramped_ = soaked_ = Milliseconds{};
    at_target_ = reached_band_ = false;
  }
  if (!commands.ramp && !commands.soak) {
    started_ = at_target_ = false;
    return;
  }
  if (!valid || !finite(measured.value)) return;
  const settings::Segment& segment = at(settings, segment_);
  move_setpoint(measured, !started_, segment, settings.ramp_lag_limit, dt);
  started_ = true;

  const bool counting =
      commands.soak && at_target_ && distance(measured, segment.target) <= settings.soak_band.value;
  if (counting) soaked_ = saturating_sum(soaked_, dt);
  reached_band_ = reached_band_ || counting;
}

ProgrammeFacts Programme::facts(const settings::Programme& settings) const {
  return {.ramp_complete = at_target_,
          .soak_complete = reached_band_ && soaked_ >= at(settings, segment_).soak,
          .last_segment = segment_ >= last_index(settings)};
}

}  // namespace ovenproof::control
