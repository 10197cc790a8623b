#pragma once
#include <optional>

#include "sim/formulas/formula.hpp"

/// Oxygen in a room into which inert gas is released. `release` and `ventilation` in the same unit
/// of flow at the room's temperature, `volume` in that unit times `time`. Oxygen as mole fraction.
namespace ovenproof::formulas {

inline constexpr Formula room_extraction{
    "stirred room, fan drawing out", "C = 0.2095 (1 - (R / Q) (1 - exp(-Q t / V))), R < Q",
    "oxygen-deficiency model of Fermilab ES&H Manual 4240, derived again",
    "how the release varies until the flow is steady"};
inline constexpr Formula room_still{
    "stirred room, no ventilation", "C = 0.2095 exp(-R t / V)",
    "oxygen-deficiency model of Fermilab ES&H Manual 4240, derived again",
    "how the release varies until the flow is steady"};
inline constexpr Formula room_displaced{
    "displacement without ventilation", "C = 0.2095 (Vr - Vg) / Vr",
    "University of Nottingham, cryogen and compressed-gas safety calculator",
    "how released gas and room air mix"};

/// Oxygen after `time` of release with ventilation that draws out of the room.
double room_oxygen_after(double release, double ventilation, double volume, double time);

/// Where that ends: 0.2095 (1 - R / Q), 0 if the ventilation is not more than the release.
double room_oxygen_steady(double release, double ventilation);

/// Time until the room falls to `level`; empty if it never does.
std::optional<double> time_to_room_oxygen(double level, double release, double ventilation,
                                          double volume);

/// Oxygen once `gas` has been released into a room of `volume` without ventilation and has pushed
/// out as much air.
double room_oxygen_displaced(double gas, double volume);

}  // namespace ovenproof::formulas
