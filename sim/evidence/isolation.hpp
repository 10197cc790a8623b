#pragma once

/// What is isolated before a test, and why nothing is where nothing is. Common practice, no source.
/// Each text begins with "Isolate" or with "No isolation:", so that a person reads it first.
namespace ovenproof::evidence::isolation {

/// The controller runs, and its contactors switch nothing.
inline constexpr const char* heater =
    "Isolate the heater supply: main switch off, locked and tagged, every pole proved dead at the "
    "contactors.";
/// Nothing can heat, flow or turn.
inline constexpr const char* all =
    "Isolate the heater supply, the gas and the motors: each switched off or shut, locked and "
    "tagged; poles proved dead, gas lines vented outdoors.";
/// A start by mistake, or a press on purpose, does nothing.
inline constexpr const char* heater_and_gas =
    "Isolate the heater supply and the gas: main switch off, supply valve shut, both locked and "
    "tagged; poles proved dead, gas line vented outdoors.";
/// The controller runs a cycle on a cold oven in air.
inline constexpr const char* cold_cycle =
    "Isolate the heater supply (main switch off, locked and tagged, poles proved dead) and the "
    "inert gas (supply valve shut, locked and tagged, line vented outdoors); connect dry test air.";

}  // namespace ovenproof::evidence::isolation
