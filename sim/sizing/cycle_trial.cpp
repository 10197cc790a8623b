#include "sim/sizing/cycle_trial.hpp"

#include <algorithm>

#include "firmware/logic/matrix.hpp"
#include "sim/cycle/run.hpp"

namespace ovenproof::sizing {

namespace {

using logic::Phase;

constexpr double look_every_s = 1.0;
constexpr double curve_every_s = 5.0;
constexpr double window_s = 30.0;

/// Watches one cycle on the plant, from the start to unloading.
class Watcher {
 public:
  void observe(const rig::Rig& rig) {
    const Phase phase = rig.controller_runs() ? rig.controller().commands().phase : Phase::tripped;
    const double now_s = static_cast<double>(rig.now_ms()) / 1000.0;
    if (over_ || (!started_ && !logic::closed_cycle.has(phase))) return;
    if (!started_) begin(rig, now_s);
    if (phase != phase_) change(rig, phase, now_s - start_s_);
    if (now_s >= next_look_s_) {
      next_look_s_ += look_every_s;
      look(rig.truth(), now_s - start_s_);
    }
  }

  CycleTrial trial;

 private:
  void begin(const rig::Rig& rig, double now_s) {
    started_ = true;
    start_s_ = next_look_s_ = now_s;
    gas_before_L_ = rig.truth().gas_used_L;
    energy_before_kWh_ = rig.truth().energy_kWh;
    trial.room_lowest = rig.truth().room_oxygen;
  }

  void change(const rig::Rig& rig, Phase to, double s) {
    const plant::Truth truth = rig.truth();
    if (logic::heating.has(to) && !trial.purge_s) {
      trial.purge_s = s;
      trial.gate_ppm = truth.oxygen * 1e6;
      heat_from_kWh_ = truth.energy_kWh;
    }
    if (to == Phase::repurging) ++trial.repurges;
    if (to == Phase::soak && !trial.heat_up_s && trial.purge_s) {
      trial.heat_up_s = s - *trial.purge_s;
      trial.heat_up_W = (truth.energy_kWh - heat_from_kWh_) * 3.6e6 / *trial.heat_up_s;
    }
    if (to == Phase::soak) powers_W_.clear();
    if (to == Phase::cooling && !trial.heating_s && trial.purge_s) {
      trial.heating_s = s - *trial.purge_s;
      const std::size_t fifth = powers_W_.size() / 5;
      double sum_W = 0.0;
      for (std::size_t i = powers_W_.size() - fifth; i < powers_W_.size(); ++i)
        sum_W += powers_W_[i];
      if (fifth > 0) trial.hold_W = sum_W / static_cast<double>(fifth);
      trial.energy_kWh = truth.energy_kWh - energy_before_kWh_;
    }
    if (to == Phase::unloading && trial.heating_s) {
      trial.cooling_s = s - *trial.purge_s - *trial.heating_s;
      trial.cycle_s = s;
      trial.gas_L = truth.gas_used_L - gas_before_L_;
    }
    over_ = !logic::closed_cycle.has(to);
    phase_ = to;
  }

  void look(const plant::Truth& truth, double s) {
    if (s >= next_curve_s_) {
      next_curve_s_ += curve_every_s;
      trial.oxygen_ppm.push_back({s, truth.oxygen * 1e6});
      trial.gas_degC.push_back({s, truth.gas_degC});
    }
    trial.room_lowest = std::min(*trial.room_lowest, truth.room_oxygen);
    trial.casing_peak_degC = std::max(trial.casing_peak_degC.value_or(0.0), truth.casing_degC);
    if (phase_ == Phase::soak) powers_W_.push_back(truth.heater_W);
    if (logic::heating.has(phase_)) {
      exhausted_L_ += truth.exhaust_L_per_min / 60.0 * look_every_s;
      if (++in_window_ * look_every_s >= window_s) {
        // The chamber's pressure falls from purge to process flow in the first window.
        const double mean = exhausted_L_ / window_s * 60.0;
        if (++windows_ > 1) {
          trial.exhaust_peak_L_per_min = std::max(trial.exhaust_peak_L_per_min.value_or(0.0), mean);
        }
        in_window_ = 0;
        exhausted_L_ = 0.0;
      }
    }
  }

  bool started_ = false;
  bool over_ = false;
  Phase phase_ = Phase::purging;
  double start_s_ = 0.0, next_look_s_ = 0.0, next_curve_s_ = 0.0;
  double gas_before_L_ = 0.0, energy_before_kWh_ = 0.0, heat_from_kWh_ = 0.0;
  std::vector<double> powers_W_;
  double exhausted_L_ = 0.0;
  int in_window_ = 0;
  int windows_ = 0;
};

std::string problem_of(const cycle::RunResult& result) {
  for (const hazards::HazardVerdict& each : result.hazards) {
    if (!each.avoided) return "hazard: " + each.title;
  }
  if (result.first_trip) {
    return std::string("the oven tripped: ") + logic::row_of(result.first_trip->cause).text;
  }
  return result.gave_up;
}

}  // namespace

CycleTrial cycle_trial(const machine::Machine& machine) {
  const rig::Oven oven{machine.plant, machine.settings, {}, {}};
  Watcher watcher;
  cycle::Plan plan;
  plan.cycles = 1;
  const cycle::RunResult result =
      cycle::run(oven, plan, [&watcher](const rig::Rig& rig) { watcher.observe(rig); }, {});
  watcher.trial.problem = problem_of(result);
  return std::move(watcher.trial);
}

}  // namespace ovenproof::sizing
