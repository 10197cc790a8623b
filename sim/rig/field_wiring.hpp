#pragma once
#include "hal-mock/terminals.hpp"
#include "sim/plant/signals.hpp"
#include "sim/rig/hands.hpp"

/// Which device is wired to which terminal.
namespace ovenproof::rig {

/// What the oven's devices and its operator present to the board.
mock::FieldInputs wire_inputs(const plant::Field& field, const Hands& hands);

/// What the board drives, at the oven's actuators.
plant::Actuation wire_outputs(const mock::FieldOutputs& outputs);

/// Whether any actuator is energised: heater, contactors, fan, valves, damper, blowers.
bool anything_energised(const mock::FieldOutputs& outputs);

/// Resistance of the Pt100 in the thermocouple terminals, ohm, -200..850 degC (IEC 60751).
double pt100_ohm(double temperature_degC);

}  // namespace ovenproof::rig
