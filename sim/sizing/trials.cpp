#include "sim/sizing/trials.hpp"

#include <algorithm>

#include "sim/parallel/run_all.hpp"

namespace ovenproof::sizing {

Trials run_trials(const machine::Machine& m, const Prediction& p, unsigned jobs) {
  // A trial that takes this much longer than predicted has found that it never gets there.
  constexpr double patience = 5.0;
  const double longest_s = 7 * 86'400.0;
  const auto limit_s = [longest_s](const std::optional<double>& predicted_s, double otherwise_s) {
    return std::min(longest_s, predicted_s ? patience * *predicted_s + 600.0 : otherwise_s);
  };
  const plant::Parameters& oven = m.plant;
  const double room_change_s = 60.0 * p.room_L / std::max(1e-3, p.ventilation_L_per_min);
  Trials trials;
  std::vector<std::function<void()>> all;
  all.emplace_back([&] { trials.cycle = cycle_trial(m); });
  if (oven.cooling.fitted) {
    all.emplace_back([&] {
      const auto s = p.cool_jacket ? std::optional(p.cool_jacket->seconds) : std::nullopt;
      trials.cool_jacket =
          cooling_trial(oven, p.last_degC, p.unload_degC, true, limit_s(s, longest_s));
    });
  }
  all.emplace_back([&] {
    const auto s = p.cool_still ? std::optional(p.cool_still->seconds) : std::nullopt;
    trials.cool_still =
        cooling_trial(oven, p.last_degC, p.unload_degC, false, limit_s(s, longest_s));
  });
  all.emplace_back(
      [&] { trials.purge = purge_trial(oven, p.level_ppm, limit_s(p.gate_s, 86'400.0)); });
  all.emplace_back(
      [&] { trials.floor_purge_ppm = floor_trial_ppm(oven, oven.supply.purge_L_per_min); });
  all.emplace_back(
      [&] { trials.floor_process_ppm = floor_trial_ppm(oven, oven.supply.process_L_per_min); });
  if (p.holding_L_per_min && *p.holding_L_per_min > 0.0) {
    all.emplace_back([&] {
      trials.holding_L_per_min = holding_trial_L_per_min(oven, p.held_ppm, *p.holding_L_per_min);
    });
  }
  all.emplace_back([&] {
    trials.room = room_trial(oven, 1.0, std::clamp(6.0 * room_change_s, 600.0, 86'400.0));
  });
  all.emplace_back([&] {
    trials.room_still = room_trial(
        oven, 0.0, std::clamp(0.2 * 60.0 * p.room_L / p.release_L_per_min, 60.0, longest_s));
  });
  parallel::run_all(all, jobs);
  return trials;
}

}  // namespace ovenproof::sizing
