#include "sim/cycle/figures.hpp"

#include <algorithm>

#include "sim/plant/constants.hpp"

namespace ovenproof::cycle {

using logic::Phase;

namespace {

/// Keeps the highest; what is never above zero is zero.
void keep_highest(Figure& figure, double value) { figure = std::max(figure.value_or(0.0), value); }

}  // namespace

void CycleMeter::begin(double now_s, const plant::Truth& truth) {
  Figures figures;
  figures.start_s = now_s;
  figures.lowest_room_oxygen = truth.room_oxygen;
  cycles_.push_back(figures);
  running_ = true;
  soaked_ = false;
  settled_ = false;
  settled_segment_ = 0;
  heat_from_s_ = 0.0;
  cool_from_s_ = 0.0;
  gas_before_L_ = truth.gas_used_L;
  energy_before_kWh_ = truth.energy_kWh;
}

void CycleMeter::change_phase(Phase from, Phase to, double now_s, const plant::Truth& truth) {
  Figures& figures = cycles_.back();
  if (logic::heating.has(to) && from == Phase::purging) {
    figures.purge_s = now_s - figures.start_s;
    figures.oxygen_at_gate_ppm = 1e6 * truth.oxygen;
    heat_from_s_ = now_s;
  }
  if (to == Phase::soak && !soaked_) {
    soaked_ = true;
    figures.heat_up_s = now_s - heat_from_s_;
  }
  if (to == Phase::repurging) ++figures.repurges;
  if (to == Phase::cooling && from != Phase::flushing) cool_from_s_ = now_s;
  if (to == Phase::unloading) {
    figures.cool_down_s = now_s - cool_from_s_;
    figures.complete = true;
  }
}

void CycleMeter::measure_soak(const controller::Controller& controller, double now_s,
                              const plant::Truth& truth) {
  Figures& figures = cycles_.back();
  const settings::Programme& programme = controller.configuration().settings.programme;
  const std::uint32_t segment = controller.regulation().programme().segment();
  if (segment != settled_segment_) settled_ = false;
  settled_segment_ = segment;

  const double error_K = truth.gas_degC - programme.segments[segment].target.value;
  const double band_K = programme.soak_band.value;
  settled_ = settled_ || (error_K <= band_K && error_K >= -band_K);
  figures.soak_s = figures.soak_s.value_or(0.0) + (now_s - last_s_);
  keep_highest(figures.soak_high_K, error_K);
  if (settled_) keep_highest(figures.soak_low_K, -error_K);
  keep_highest(figures.oxygen_in_soak_ppm, 1e6 * truth.oxygen);
}

void CycleMeter::measure_unloading(const rig::Rig& rig) {
  if (cycles_.empty() || !cycles_.back().complete) return;
  if (rig.plant().state().positions.door <= 0.0) return;
  Figures& figures = cycles_.back();
  const plant::Truth truth = rig.truth();
  const bool low = truth.oxygen < plant::least_oxygen_for_people;
  figures.low_oxygen_s =
      figures.low_oxygen_s.value_or(0.0) + (low ? rig.period_ms() / 1000.0 : 0.0);
  if (!rig.hands.reaching_in) return;
  figures.reached_oxygen = std::min(figures.reached_oxygen.value_or(truth.oxygen), truth.oxygen);
  figures.handled_degC =
      std::max(figures.handled_degC.value_or(truth.handled_degC), truth.handled_degC);
}

void CycleMeter::observe(const rig::Rig& rig) {
  measure_unloading(rig);
  const double now_s = static_cast<double>(rig.now_ms()) / 1000.0;
  const Phase phase = rig.controller_runs() ? rig.controller().commands().phase : Phase::tripped;
  const bool in_cycle = logic::closed_cycle.has(phase) || phase == Phase::unloading;
  if (!in_cycle && !running_) {
    phase_ = phase;
    last_s_ = now_s;
    return;
  }
  const plant::Truth truth = rig.truth();
  if (in_cycle && !running_) begin(now_s, truth);
  if (phase != phase_) change_phase(phase_, phase, now_s, truth);
  if (phase == Phase::soak) measure_soak(rig.controller(), now_s, truth);

  Figures& figures = cycles_.back();
  figures.peak_degC = std::max(figures.peak_degC, truth.gas_degC);
  figures.lowest_room_oxygen = std::min(figures.lowest_room_oxygen, truth.room_oxygen);
  figures.gas_L = truth.gas_used_L - gas_before_L_;
  figures.energy_kWh = truth.energy_kWh - energy_before_kWh_;
  figures.end_s = now_s;
  running_ = in_cycle;
  phase_ = phase;
  last_s_ = now_s;
}

}  // namespace ovenproof::cycle
