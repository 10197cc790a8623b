#include "sim/plant/actuators.hpp"

#include <algorithm>
#include <cmath>

namespace ovenproof::plant {
namespace {

double approach(double now, double target, double up, double down) {
  return target > now ? std::min(target, now + up) : std::max(target, now - down);
}

/// A position that faults keep from going all the way.
double held(double target, double stuck_open, double stuck_closed) {
  return std::max(stuck_open, std::min(target, 1.0 - stuck_closed));
}

/// Share in which the gas valve that the door works is open: a lever that follows the door.
double door_gas_valve(const Paces& pace, const Faults& faults, double door) {
  if (pace.gas_valve_shut <= 0.0) return 1.0;
  const double open = (pace.gas_valve_shut - door) / (pace.gas_valve_shut - pace.gas_valve_open);
  return held(std::min(1.0, std::max(0.0, open)), faults[Fault::door_gas_valve_stuck_open],
              faults[Fault::door_gas_valve_stuck_closed]);
}

}  // namespace

Paces paces(const Parameters& p, const Faults& faults, double scan_s) {
  const auto steps = [scan_s](double s) { return static_cast<int>(std::ceil(s / scan_s - 1e-9)); };
  Paces pace;
  pace.door = scan_s / p.door.travel_s;
  pace.fan_up = scan_s / p.fan.run_up_s;
  pace.fan_down = scan_s / p.fan.run_down_s;
  pace.purge_valve =
      scan_s / (p.supply.purge_valve_stroke_s * (1.0 + 50.0 * faults[Fault::purge_valve_slow]));
  pace.process_valve =
      scan_s / (p.supply.process_valve_stroke_s * (1.0 + 50.0 * faults[Fault::process_valve_slow]));
  pace.damper_open = scan_s / p.cooling.damper_open_s;
  pace.damper_close = scan_s / p.cooling.damper_close_s;
  pace.blower_up = scan_s / p.cooling.blower_run_up_s;
  pace.blower_down = scan_s / p.cooling.blower_run_down_s;
  if (p.door.gas_valve_opening) {
    const double late = 0.5 * faults[Fault::door_gas_valve_late];
    pace.gas_valve_open = 0.5 * *p.door.gas_valve_opening + late;
    pace.gas_valve_shut = *p.door.gas_valve_opening + late;
  }
  pace.pull_in_scans = steps(p.contactors.pull_in_s);
  pace.drop_out_scans = steps(p.contactors.drop_out_s);
  return pace;
}

Actuation feed(ControlRelay& k0, const Actuation& driven, const Operator& hands,
               const Parameters& p, const Faults& faults) {
  const bool stopped = p.emergency_stop.cuts_outputs && hands.estop_pressed &&
                       !faults.has(Fault::estop_contact_2_bridged);
  const bool supplied = driven.supply && !faults.has(Fault::outputs_without_supply) && !stopped;
  // Monitored: a button that sticks pulls nothing in.
  const bool reset = k0.reset_was_pressed && !hands.reset_pressed;
  k0.reset_was_pressed = hands.reset_pressed;
  k0.closed = (supplied && (k0.closed || reset)) || (k0.closed && faults.has(Fault::k0_welded));
  if (!supplied || (p.outputs.supply_latched && !k0.closed)) return Actuation{.supply = false};
  return driven;
}

Positions move(const Positions& now, const Actuation& actuation, const Operator& hands,
               bool cooling_fitted, const Faults& faults, const Paces& pace) {
  const auto full = [](bool on) { return on ? 1.0 : 0.0; };
  Positions next;
  next.door = approach(now.door, full(hands.door_open), pace.door, pace.door);
  next.door_gas_valve = door_gas_valve(pace, faults, next.door);

  const double fan =
      faults.has(Fault::fan_stopped) ? 0.0 : full(actuation.fan) * (1.0 - faults[Fault::fan_slow]);
  next.fan = approach(now.fan, fan, pace.fan_up, pace.fan_down);

  const double purge = held(full(actuation.purge_valve), faults[Fault::purge_valve_stuck_open],
                            faults[Fault::purge_valve_stuck_closed]);
  next.purge_valve = approach(now.purge_valve, purge, pace.purge_valve, pace.purge_valve);
  const double process =
      held(full(actuation.process_valve), faults[Fault::process_valve_stuck_open],
           faults[Fault::process_valve_stuck_closed]);
  next.process_valve = approach(now.process_valve, process, pace.process_valve, pace.process_valve);

  if (!cooling_fitted) return next;
  const double damper = held(full(actuation.damper_open), faults[Fault::damper_stuck_open],
                             faults[Fault::damper_stuck_closed]);
  next.damper = faults.has(Fault::damper_stuck)
                    ? now.damper
                    : approach(now.damper, damper, pace.damper_open, pace.damper_close);
  const double blower = full(actuation.blower) * (1.0 - faults[Fault::blower_failed]);
  next.blower = approach(now.blower, blower, pace.blower_up, pace.blower_down);
  return next;
}

}  // namespace ovenproof::plant
