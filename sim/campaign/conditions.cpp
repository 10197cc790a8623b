#include "sim/campaign/conditions.hpp"

#include <variant>

namespace ovenproof::campaign {
namespace {

using hal::DigitalIn;
using hal::DigitalOut;
using plant::Fault;

Conditions woken_by_contact(DigitalIn point, const mock::Effect& effect) {
  if (std::holds_alternative<mock::Open>(effect) ||
      std::holds_alternative<mock::Intermittent>(effect)) {
    return contact(point, true);
  }
  if (std::holds_alternative<mock::ShortCircuit>(effect)) return contact(point, false);
  if (const auto* stuck = std::get_if<mock::StuckAt>(&effect)) {
    return contact(point, stuck->value == 0.0);
  }
  return every_scan;
}

Conditions woken_by_coil(DigitalOut point, const mock::Effect& effect) {
  if (point >= DigitalOut::run_lamp) return 0;
  if (std::holds_alternative<mock::Open>(effect) ||
      std::holds_alternative<mock::Intermittent>(effect)) {
    return coil(point, true);
  }
  if (std::holds_alternative<mock::ShortCircuit>(effect)) return coil(point, false);
  if (const auto* stuck = std::get_if<mock::StuckAt>(&effect)) {
    return coil(point, stuck->value == 0.0);
  }
  return every_scan;
}

Conditions woken_by_signal(const mock::SignalFault& fault) {
  if (fault.end_ms != mock::no_end) return every_scan;  // it may end asleep
  switch (fault.point.point_class()) {
    case mock::PointClass::digital_in:
      return woken_by_contact(static_cast<DigitalIn>(fault.point.index_in_class()), fault.effect);
    case mock::PointClass::digital_out:
      return woken_by_coil(static_cast<DigitalOut>(fault.point.index_in_class()), fault.effect);
    case mock::PointClass::heater:
      return heater_fed;
    case mock::PointClass::analog_in:
      break;
  }
  return every_scan;
}

Conditions woken_by_component(const rig::ComponentFault& fault) {
  // What grows, grows while it sleeps.
  if (fault.ramp_ms != 0 || fault.end_ms != mock::no_end) return every_scan;
  switch (fault.fault) {
    case Fault::purge_valve_stuck_open:
      return coil(DigitalOut::purge_valve, false);
    case Fault::purge_valve_stuck_closed:
      return coil(DigitalOut::purge_valve, true);
    case Fault::purge_valve_slow:
      return purge_valve_moves;
    case Fault::process_valve_stuck_open:
      return coil(DigitalOut::process_valve, false);
    case Fault::process_valve_stuck_closed:
      return coil(DigitalOut::process_valve, true);
    case Fault::process_valve_slow:
      return process_valve_moves;
    case Fault::k1_welded:
    case Fault::k1_pole_welded:
      return k1_drops;
    case Fault::k1_not_pulling:
      return coil(DigitalOut::k1, true);
    case Fault::k2_welded:
    case Fault::k2_pole_welded:
      return k2_drops;
    case Fault::door_contact_1_defeated:
    case Fault::chain_door_bridged:
      return contact(DigitalIn::door_closed_1, false);
    case Fault::chain_estop_bridged:
    case Fault::estop_contact_2_bridged:
      return contact(DigitalIn::estop_healthy, false);
    case Fault::k0_welded:  // it opens with the mains, and with an emergency stop that cuts it
      return controller_starts | contact(DigitalIn::estop_healthy, false);
    case Fault::chain_limiter_bridged:
      return contact(DigitalIn::limiter_healthy, false);
    case Fault::chain_open:
      return coil(DigitalOut::k1, true) | coil(DigitalOut::k2, true);
    case Fault::purge_pipe_off:
      return coil(DigitalOut::purge_valve, true);
    case Fault::process_pipe_off:
      return coil(DigitalOut::process_valve, true);
    case Fault::supply_impure:
    case Fault::regulator_failed_open:
      return coil(DigitalOut::purge_valve, true) | coil(DigitalOut::process_valve, true);
    case Fault::door_gas_valve_stuck_open:
    case Fault::door_gas_valve_late:
      // Contact 2, for contact 1 can be defeated; it opens before the valve would move.
      return contact(DigitalIn::door_closed_2, false);
    case Fault::k2_not_pulling:
      return coil(DigitalOut::k2, true);
    case Fault::heater_switch_shorted:
    case Fault::element_broken:
      return heater_fed;
    case Fault::fan_stopped:
    case Fault::fan_slow:
      return coil(DigitalOut::fan, true);
    case Fault::damper_stuck:
      return damper_moves;
    case Fault::damper_stuck_open:
      return coil(DigitalOut::damper, false);
    case Fault::damper_stuck_closed:
      return coil(DigitalOut::damper, true);
    case Fault::blower_failed:
      return coil(DigitalOut::blower, true);
    case Fault::limiter_thermocouple_slipped:
    case Fault::limiter_failed:
      return limiter_called;
    default:
      return every_scan;
  }
}

}  // namespace

void ConditionWatch::before(const rig::Rig& rig) {
  const plant::Field& f = rig.plant().field();
  const rig::Hands& hands = rig.hands;
  const auto told = [](DigitalIn point, bool closed) { return contact(point, closed); };
  contacts_ =
      told(DigitalIn::door_closed_1, f.door_contact_1) |
      told(DigitalIn::door_closed_2, f.door_contact_2) |
      told(DigitalIn::start_button, hands.start) | told(DigitalIn::stop_button, !hands.stop) |
      told(DigitalIn::reset_button, hands.reset) | told(DigitalIn::estop_healthy, f.estop_healthy) |
      told(DigitalIn::limiter_healthy, f.limiter_healthy) |
      told(DigitalIn::gas_supply_ok, f.supply_ok) | told(DigitalIn::purge_flow, f.purge_flow) |
      told(DigitalIn::process_flow, f.process_flow) | told(DigitalIn::fan_running, f.fan_airflow) |
      told(DigitalIn::k1_open, f.k1_mirror) | told(DigitalIn::k2_open, f.k2_mirror) |
      told(DigitalIn::damper_open, f.damper_at_open) |
      told(DigitalIn::damper_closed, f.damper_at_closed) |
      told(DigitalIn::blower_running, f.blower_airflow);
  const plant::State& s = rig.plant().state();
  positions_ = s.positions;
  k1_closed_ = s.k1.a_pole_closed;
  k2_closed_ = s.k2.a_pole_closed;
  running_ = rig.controller_runs() && !rig.board().restart_requested();
}

Conditions ConditionWatch::after(const rig::Rig& rig) const {
  const mock::FieldOutputs& out = rig.board().field_outputs();
  const plant::State& s = rig.plant().state();
  constexpr std::uint32_t actuators = (1U << static_cast<unsigned>(DigitalOut::run_lamp)) - 1U;
  Conditions now = every_scan | contacts_ | Conditions{out.coils & actuators} << 32U |
                   Conditions{~out.coils & actuators} << 40U;
  const auto add = [&now](bool came, Conditions what) { now |= came ? what : Conditions{0}; };
  add(s.k1.a_pole_closed && s.k2.a_pole_closed, heater_fed);
  add((k1_closed_ || s.k1.a_pole_closed) && !out.energised(DigitalOut::k1), k1_drops);
  add((k2_closed_ || s.k2.a_pole_closed) && !out.energised(DigitalOut::k2), k2_drops);
  const bool purge_open = out.energised(DigitalOut::purge_valve);
  const bool process_open = out.energised(DigitalOut::process_valve);
  const bool damper_open = out.energised(DigitalOut::damper);
  add(positions_.purge_valve != (purge_open ? 1.0 : 0.0), purge_valve_moves);
  add(positions_.process_valve != (process_open ? 1.0 : 0.0), process_valve_moves);
  add(positions_.damper != (damper_open ? 1.0 : 0.0), damper_moves);
  add(s.sensors.limiter_tripped ||
          s.sensors.limiter_K >= plant::to_K(rig.plant().parameters().limiter.set_point_degC),
      limiter_called);
  add(!running_ || !rig.controller_runs() || rig.board().restart_requested(), controller_starts);
  return now;
}

Conditions woken_by(const scenario::Act& act) {
  if (const auto* signal = std::get_if<scenario::BreakSignal>(&act)) {
    return woken_by_signal(signal->fault);
  }
  if (const auto* component = std::get_if<scenario::BreakComponent>(&act)) {
    return woken_by_component(component->fault);
  }
  if (std::holds_alternative<scenario::FlipStore>(act) ||
      std::holds_alternative<scenario::FailStore>(act)) {
    return controller_starts;
  }
  return every_scan;
}

Conditions woken_by(const Realisation& realisation) {
  Conditions any = 0;
  for (const scenario::Action& action : realisation.actions) any |= woken_by(action.act);
  return any;
}

}  // namespace ovenproof::campaign
