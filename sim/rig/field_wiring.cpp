#include "sim/rig/field_wiring.hpp"

namespace ovenproof::rig {

double pt100_ohm(double t) {
  constexpr double r0 = 100.0;
  constexpr double a = 3.9083e-3;
  constexpr double b = -5.775e-7;
  constexpr double c = -4.183e-12;
  const double below_zero = t < 0.0 ? c * (t - 100.0) * t * t * t : 0.0;
  return r0 * (1.0 + a * t + b * t * t + below_zero);
}

bool anything_energised(const mock::FieldOutputs& outputs) {
  constexpr std::uint32_t actuators = (1U << static_cast<unsigned>(hal::DigitalOut::run_lamp)) - 1U;
  return (outputs.coils & actuators) != 0 || outputs.heater_permille > 0.0;
}

mock::FieldInputs wire_inputs(const plant::Field& field, const Hands& hands) {
  using hal::AnalogIn;
  using hal::DigitalIn;
  mock::FieldInputs wires;
  wires.set(DigitalIn::door_closed_1, field.door_contact_1);
  wires.set(DigitalIn::door_closed_2, field.door_contact_2);
  wires.set(DigitalIn::start_button, hands.start);
  wires.set(DigitalIn::stop_button, !hands.stop);
  wires.set(DigitalIn::reset_button, hands.reset);
  wires.set(DigitalIn::estop_healthy, field.estop_healthy);
  wires.set(DigitalIn::limiter_healthy, field.limiter_healthy);
  wires.set(DigitalIn::gas_supply_ok, field.supply_ok);
  wires.set(DigitalIn::purge_flow, field.purge_flow);
  wires.set(DigitalIn::process_flow, field.process_flow);
  wires.set(DigitalIn::fan_running, field.fan_airflow);
  wires.set(DigitalIn::k1_open, field.k1_mirror);
  wires.set(DigitalIn::k2_open, field.k2_mirror);
  wires.set(DigitalIn::damper_open, field.damper_at_open);
  wires.set(DigitalIn::damper_closed, field.damper_at_closed);
  wires.set(DigitalIn::blower_running, field.blower_airflow);

  wires.set(AnalogIn::te_a, field.thermocouple_a_mV);
  wires.set(AnalogIn::te_b, field.thermocouple_b_mV);
  wires.set(AnalogIn::cold_junction, pt100_ohm(field.terminal_degC));
  wires.set(AnalogIn::oxygen_cell, field.oxygen_cell_mV);
  wires.set(AnalogIn::oxygen_cell_tc, field.oxygen_cell_tc_mV);
  wires.set(AnalogIn::oxygen_loop, field.oxygen_transmitter_mA);
  return wires;
}

plant::Actuation wire_outputs(const mock::FieldOutputs& outputs) {
  using hal::DigitalOut;
  plant::Actuation actuation;
  actuation.k1 = outputs.energised(DigitalOut::k1);
  actuation.k2 = outputs.energised(DigitalOut::k2);
  actuation.heater_drive = outputs.heater_permille / 1000.0;
  actuation.fan = outputs.energised(DigitalOut::fan);
  actuation.purge_valve = outputs.energised(DigitalOut::purge_valve);
  actuation.process_valve = outputs.energised(DigitalOut::process_valve);
  actuation.damper_open = outputs.energised(DigitalOut::damper);
  actuation.blower = outputs.energised(DigitalOut::blower);
  return actuation;
}

}  // namespace ovenproof::rig
