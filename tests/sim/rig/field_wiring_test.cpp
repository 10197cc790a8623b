#include "sim/rig/field_wiring.hpp"

#include <vector>

#include <doctest/doctest.h>

using namespace ovenproof;
using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;
using plant::Actuation;
using plant::Field;

TEST_CASE("each contact of the oven is wired to its own terminal") {
  struct Wire {
    bool Field::*contact;
    DigitalIn terminal;
  };
  const std::vector<Wire> wires{{&Field::door_contact_1, DigitalIn::door_closed_1},
                                {&Field::door_contact_2, DigitalIn::door_closed_2},
                                {&Field::estop_healthy, DigitalIn::estop_healthy},
                                {&Field::limiter_healthy, DigitalIn::limiter_healthy},
                                {&Field::supply_ok, DigitalIn::gas_supply_ok},
                                {&Field::purge_flow, DigitalIn::purge_flow},
                                {&Field::process_flow, DigitalIn::process_flow},
                                {&Field::fan_airflow, DigitalIn::fan_running},
                                {&Field::k1_mirror, DigitalIn::k1_open},
                                {&Field::k2_mirror, DigitalIn::k2_open},
                                {&Field::damper_at_open, DigitalIn::damper_open},
                                {&Field::damper_at_closed, DigitalIn::damper_closed},
                                {&Field::blower_airflow, DigitalIn::blower_running}};
  CHECK(wires.size() + 3 == hal::digital_in_count);  // and the three buttons
  const Field field;
  const mock::FieldInputs at_rest = rig::wire_inputs(field, {});
  for (const Wire& wire : wires) {
    CAPTURE(static_cast<int>(wire.terminal));
    CHECK(at_rest.closed(wire.terminal) == field.*wire.contact);
    Field moved = field;
    moved.*wire.contact = !(field.*wire.contact);
    CHECK((rig::wire_inputs(moved, {}).contacts ^ at_rest.contacts) ==
          1U << static_cast<unsigned>(wire.terminal));
  }
}

TEST_CASE("each button is wired to its own terminal, the stop button normally closed") {
  const mock::FieldInputs idle = rig::wire_inputs({}, {});
  CHECK_FALSE(idle.closed(DigitalIn::start_button));
  CHECK_FALSE(idle.closed(DigitalIn::reset_button));
  CHECK(idle.closed(DigitalIn::stop_button));
  const auto moved_by = [&idle](const rig::Hands& hands) {
    return rig::wire_inputs({}, hands).contacts ^ idle.contacts;
  };
  CHECK(moved_by({.start = true}) == 1U << static_cast<unsigned>(DigitalIn::start_button));
  CHECK(moved_by({.stop = true}) == 1U << static_cast<unsigned>(DigitalIn::stop_button));
  CHECK(moved_by({.reset = true}) == 1U << static_cast<unsigned>(DigitalIn::reset_button));
  // These reach the oven, which answers with its own contacts.
  CHECK(moved_by({.door_open = true, .estop = true, .limiter_reset = true}) == 0);
}

TEST_CASE("each sensor is wired to its own terminal, the temperature of the terminals as a Pt100") {
  Field field;
  field.thermocouple_a_mV = 1.0;
  field.thermocouple_b_mV = 2.0;
  field.terminal_degC = 30.0;
  field.oxygen_cell_mV = 3.0;
  field.oxygen_cell_tc_mV = 4.0;
  field.oxygen_transmitter_mA = 5.0;
  const mock::FieldInputs wires = rig::wire_inputs(field, {});
  CHECK(wires.value(AnalogIn::te_a) == 1.0);
  CHECK(wires.value(AnalogIn::te_b) == 2.0);
  CHECK(wires.value(AnalogIn::cold_junction) == rig::pt100_ohm(30.0));
  CHECK(wires.value(AnalogIn::oxygen_cell) == 3.0);
  CHECK(wires.value(AnalogIn::oxygen_cell_tc) == 4.0);
  CHECK(wires.value(AnalogIn::oxygen_loop) == 5.0);
}

TEST_CASE("each output is wired to its own actuator, lamps and horn to none") {
  const std::vector<bool Actuation::*> actuators{&Actuation::k1,
                                                 &Actuation::k2,
                                                 &Actuation::fan,
                                                 &Actuation::purge_valve,
                                                 &Actuation::process_valve,
                                                 &Actuation::damper_open,
                                                 &Actuation::blower};
  CHECK(rig::wire_outputs({}) == Actuation{});
  for (std::size_t i = 0; i < hal::digital_out_count; ++i) {
    CAPTURE(i);
    mock::FieldOutputs outputs;
    outputs.coils = 1U << i;
    Actuation expected;
    if (i < actuators.size()) expected.*actuators[i] = true;
    CHECK(rig::wire_outputs(outputs) == expected);
    CHECK(rig::anything_energised(outputs) == (i < actuators.size()));
  }
}

TEST_CASE("the heater drive arrives as a share of full power, and counts as energised") {
  mock::FieldOutputs outputs;
  outputs.heater_permille = 250.0;
  CHECK(rig::wire_outputs(outputs).heater_drive == 0.25);
  CHECK(rig::anything_energised(outputs));
  CHECK_FALSE(rig::anything_energised({}));
}
