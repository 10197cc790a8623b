#include "firmware/conditioning/oxygen_trust.hpp"

#include "firmware/conditioning/oxygen_cell.hpp"
#include "firmware/math/exp_log.hpp"
#include "firmware/math/saturate.hpp"

namespace ovenproof::conditioning {
namespace {

constexpr float normal_K = 273.15F;  // flows are stated at 0 degC
constexpr float coldest_chamber_K = 288.15F;
constexpr float hottest_chamber_K = 1273.15F;
constexpr float upper_margin = 1.1F;
constexpr float lower_margin = 0.5F;  // up to half of the exhaust may be gas that bypassed

/// Runs while `condition` holds, zero otherwise.
Milliseconds timed(Milliseconds so_far, bool condition, Milliseconds elapsed) {
  return condition ? math::saturating_add(so_far, elapsed) : Milliseconds(0);
}

/// Chamber volumes exchanged by `flow` during `elapsed` in a chamber at `kelvin`.
float volumes(float flow_L_min, Milliseconds elapsed, float kelvin,
              const OxygenTrustLimits& limits) {
  const float litres = flow_L_min * static_cast<float>(elapsed.value) / 60'000.0F;
  return litres / limits.chamber_volume_L * (kelvin / normal_K);
}

/// `ppm` after `n` volumes of the stirred-dilution law; zero where no sensor could tell.
float diluted(float ppm, float n) {
  const float left = ppm > 0.0F && n > 0.0F ? ppm * math::exp(-n) : ppm;
  return left > 1e-3F ? left : 0.0F;
}

}  // namespace

void OxygenTrust::update(const Reading<Ppm>& oxygen, std::uint16_t count,
                         const OxygenCircumstances& now, Milliseconds elapsed,
                         const OxygenTrustLimits& limits) {
  integrate_bounds(now, elapsed, limits);
  judge_warm_up(oxygen.reason, elapsed, limits);
  if (!oxygen.valid()) {
    restart_judgements();
    return;
  }
  const float ppm = oxygen.value.value;
  judge_air(ppm, now.door_fully_open, elapsed, limits);
  judge_purge(ppm, now, elapsed, limits);
  judge_frozen(ppm, count, now, elapsed, limits);
}

void OxygenTrust::integrate_bounds(const OxygenCircumstances& now, Milliseconds elapsed,
                                   const OxygenTrustLimits& limits) {
  if (now.door_proven_closed && now.purge_flow_proven) {
    const float n = volumes(limits.purge_flow.value, elapsed, coldest_chamber_K, limits);
    upper_ppm_ = diluted(upper_ppm_, n / limits.mixing_factor);
  } else {
    upper_ppm_ = oxygen_in_air.value;
  }

  open_for_ = timed(open_for_, now.door_fully_open, elapsed);
  if (open_for_ >= limits.air_time) {
    lower_ppm_ = oxygen_in_air.value;
    return;
  }
  float flow = 0.0F;
  if (now.purge_commanded || now.purge_flow_proven) flow += limits.purge_flow.value;
  if (now.process_commanded || now.process_flow_proven) flow += limits.process_flow.value;
  const float kelvin = now.chamber.valid() ? math::clamp(now.chamber.value.value + normal_K,
                                                         normal_K + 20.0F, hottest_chamber_K)
                                           : hottest_chamber_K;
  lower_ppm_ = diluted(lower_ppm_, limits.lead_factor * volumes(flow, elapsed, kelvin, limits));
}

void OxygenTrust::judge_warm_up(Reason reason, Milliseconds elapsed,
                                const OxygenTrustLimits& limits) {
  if (reason == Reason::none) {
    ever_valid_ = true;
    faults_.warm_up_overdue = false;
  }
  const bool waiting = !ever_valid_ || reason == Reason::warming_up;
  waited_ = timed(waited_, waiting, elapsed);
  if (waited_ > limits.warm_up_max) faults_.warm_up_overdue = true;
}

void OxygenTrust::judge_air(float ppm, bool door_fully_open, Milliseconds elapsed,
                            const OxygenTrustLimits& limits) {
  open_valid_for_ = timed(open_valid_for_, door_fully_open, elapsed);
  const bool in_air = open_valid_for_ >= limits.air_time;
  const bool reads_air = ppm >= limits.air_min.value && ppm <= limits.air_max.value;
  not_air_for_ = timed(not_air_for_, in_air && !reads_air, elapsed);
  if (not_air_for_ >= limits.implausible_time) faults_.not_air = true;
}

void OxygenTrust::judge_purge(float ppm, const OxygenCircumstances& now, Milliseconds elapsed,
                              const OxygenTrustLimits& limits) {
  const bool purging = now.door_proven_closed && now.purge_flow_proven;
  const float upper = upper_ppm_ > limits.floor.value ? upper_ppm_ : limits.floor.value;
  too_high_for_ = timed(too_high_for_, purging && ppm > upper_margin * upper, elapsed);
  if (too_high_for_ >= math::saturating_add(limits.lag, limits.lag)) faults_.not_falling = true;

  too_low_for_ =
      timed(too_low_for_, !now.door_fully_open && ppm < lower_margin * lower_ppm_, elapsed);
  if (too_low_for_ >= limits.implausible_time) faults_.too_low_too_soon = true;
}

void OxygenTrust::judge_frozen(float ppm, std::uint16_t count, const OxygenCircumstances& now,
                               Milliseconds elapsed, const OxygenTrustLimits& limits) {
  const float cell_C = now.cell_temperature.value.value;
  const std::uint32_t moved =
      count > count_at_change_ ? count - count_at_change_ : count_at_change_ - count;
  if (moved > limits.frozen_band) {
    count_at_change_ = count;
    unchanged_for_ = Milliseconds(0);
    cell_at_change_C_ = cell_C;
    return;
  }
  const bool below_air = ppm < limits.air_min.value;
  const bool purging = now.purge_flow_proven && now.door_proven_closed && ppm > limits.floor.value;
  const bool airing = now.door_fully_open && below_air;
  const bool cell_moved =
      now.cell_temperature.valid() && below_air &&
      math::absolute(cell_C - cell_at_change_C_) >= limits.frozen_cell_change.value;
  if (purging || airing || cell_moved) {
    unchanged_for_ = math::saturating_add(unchanged_for_, elapsed);
    if (unchanged_for_ >= math::saturating_add(limits.frozen_time, limits.lag)) {
      faults_.frozen = true;
    }
  }
}

void OxygenTrust::restart_judgements() {
  open_valid_for_ = Milliseconds(0);
  not_air_for_ = Milliseconds(0);
  too_high_for_ = Milliseconds(0);
  too_low_for_ = Milliseconds(0);
  unchanged_for_ = Milliseconds(0);
}

void OxygenTrust::acknowledge() {
  faults_ = {};
  restart_judgements();
  waited_ = Milliseconds(0);
}

}  // namespace ovenproof::conditioning
