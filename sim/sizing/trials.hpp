#pragma once
#include <optional>

#include "sim/machine/machine.hpp"
#include "sim/sizing/cycle_trial.hpp"
#include "sim/sizing/predict.hpp"
#include "sim/sizing/trial.hpp"

namespace ovenproof::sizing {

/// Everything that was simulated of one machine. What was not is absent.
struct Trials {
  std::optional<CycleTrial> cycle;
  std::optional<PurgeTrial> purge;
  std::optional<double> floor_purge_ppm, floor_process_ppm;
  std::optional<double> holding_L_per_min;
  std::optional<CoolingTrial> cool_jacket, cool_still;
  std::optional<RoomTrial> room, room_still;

  [[nodiscard]] const std::optional<CoolingTrial>& cooling(const machine::Machine& m) const {
    return m.plant.cooling.fitted ? cool_jacket : cool_still;
  }
};

/// Runs them all on up to `jobs` threads; the result does not depend on how many. Throws
/// std::invalid_argument if the machine cannot be stepped.
Trials run_trials(const machine::Machine& machine, const Prediction& prediction, unsigned jobs);

}  // namespace ovenproof::sizing
