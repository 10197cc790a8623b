#pragma once
#include "firmware/logic/causes.hpp"
#include "firmware/logic/outputs.hpp"
#include "firmware/logic/phase.hpp"
#include "firmware/logic/timers.hpp"

namespace ovenproof::logic {

/// What one scan of the logic says to the rest of the controller.
struct Commands {
  OutputSet outputs;  ///< to energise: demanded and permitted

  Phase phase = Phase::tripped;
  GasPath gas = GasPath::shut;
  FanState fan = FanState::off;
  JacketState jacket = JacketState::closed;

  TimerSet timers = 0;             ///< to run; the others start again from zero
  bool programme_restart = false;  ///< this scan: a new cycle, first segment
  bool programme_advance = false;  ///< this scan: next segment
  bool count_purge = false;        ///< count volume changes; without it they start again from zero
  bool acknowledge = false;        ///< this scan: reset was accepted, instruments may forget faults

  Cause first_out = Cause::none;  ///< none: not tripped
  bool armed = false;             ///< closing the door would start a cycle

  friend constexpr bool operator==(const Commands&, const Commands&) = default;
};

}  // namespace ovenproof::logic
