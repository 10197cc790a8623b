#pragma once
#include "sim/plant/faults.hpp"
#include "sim/plant/network.hpp"
#include "sim/plant/parameters.hpp"
#include "sim/plant/signals.hpp"

/// Actuators: strokes as linear ramps, contactors with their delays, and the hard-wired chain.
namespace ovenproof::plant {

/// How far each ramp moves in one scan, and the contactors' delays in scans.
struct Paces {
  double door = 0;
  double fan_up = 0, fan_down = 0;
  double purge_valve = 0, process_valve = 0;
  double damper_open = 0, damper_close = 0;
  double blower_up = 0, blower_down = 0;
  double gas_valve_open = 0, gas_valve_shut = 0;  ///< door openings; 0: no such valve
  int pull_in_scans = 0, drop_out_scans = 0;
};

/// Paces of an oven with the given faults, for one scan length.
Paces paces(const Parameters& parameters, const Faults& faults, double scan_s);

/// Main contacts of one contactor and how long its coil has wanted otherwise.
struct Contactor {
  bool closed = false;
  int waited_scans = 0;
  bool a_pole_closed = false;  ///< one main contact at least
};

/// True while the hard-wired chain lets the coils of Q1 and Q2 be energised: emergency stop not
/// pressed, limiter not tripped, door contact made.
constexpr bool chain_closed(bool estop_pressed, bool limiter_tripped, bool door_contact) {
  return !estop_pressed && !limiter_tripped && door_contact;
}

/// One scan of a contactor: contacts follow the coil after pull-in or drop-out time; welded ones
/// do not open, a failed coil does not close them.
constexpr void follow_coil(Contactor& contactor, bool coil, bool welded, bool not_pulling,
                           const Paces& pace) {
  const bool pulled = coil && !not_pulling;
  const bool wanted = pulled || (contactor.closed && welded);
  if (wanted == contactor.closed) {
    contactor.waited_scans = 0;
    return;
  }
  const int delay = contactor.closed ? pace.drop_out_scans : pace.pull_in_scans;
  if (++contactor.waited_scans > delay) {
    contactor.closed = wanted;
    contactor.waited_scans = 0;
  }
}

/// The share of the heater's power that two contactors in series let through: a single pole of
/// three a third.
constexpr double conducted(const Contactor& a, const Contactor& b) {
  if (a.closed && b.closed) return 1.0;
  return a.a_pole_closed && b.a_pole_closed ? 1.0 / 3.0 : 0.0;
}

/// Control relay K0 in the supply of the outputs, and the reset button that pulls it in.
struct ControlRelay {
  bool closed = false;
  bool reset_was_pressed = false;
};

/// One scan of the supply of the outputs: what of `driven` arrives at the actuators. The emergency
/// stop's second contact cuts it, if there is one; K0, if there is one, then stays open until
/// reset.
Actuation feed(ControlRelay& k0, const Actuation& driven, const Operator& hands,
               const Parameters& parameters, const Faults& faults);

/// Positions one scan later.
Positions move(const Positions& now, const Actuation& actuation, const Operator& hands,
               bool cooling_fitted, const Faults& faults, const Paces& pace);

}  // namespace ovenproof::plant
