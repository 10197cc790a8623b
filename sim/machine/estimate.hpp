#pragma once
#include <optional>

#include "sim/plant/parameters.hpp"

/// What follows from an oven's parameters by closed form, and catches machine files that cannot
/// work. Sizing tells these figures, and more, beside simulated ones.
namespace ovenproof::machine {

/// Temperature of the room, and of an oven left alone, degC.
inline constexpr double ambient_degC = 20.0;

/// The oxygen floor must lie this much below the level it has to hold: leaks grow.
inline constexpr double floor_margin = 1.25;

/// Share of a flow that mixes with what is in the chamber, the fan at full speed: 1 / K, where K is
/// the mixing factor.
double mixing_share(const plant::Parameters& plant);

/// Least oxygen that a flow can hold against the stated air ingress, ppm: two streams of which
/// each counts as far as it mixes.
double oxygen_floor_ppm(const plant::Parameters& plant, double flow_L_per_min);

/// Chamber volume changes at purge flow until stirred dilution from air reaches `target_ppm`:
/// N = K ln((c_air - c_floor) / (c_target - c_floor)). Empty if the floor is not below the target.
std::optional<double> volume_changes_to(const plant::Parameters& plant, double target_ppm);

/// Time in which purge flow changes the chamber's volume once, at room temperature, s: a litre of
/// flow counts at 0 degC, so it takes less than V / Q.
double volume_change_s(const plant::Parameters& plant);

/// Oxygen in the pockets when purging ends, ppm, fan at full speed: by two zones, the stirred one
/// flushed and the pockets exchanging with it. The purge lasts `least_volumes` volume changes and,
/// if there is a gate, until the stirred zone has been at `gate_ppm` and then `hold_s` longer.
double pockets_after_purge_ppm(const plant::Parameters& plant, double least_volumes,
                               std::optional<double> gate_ppm, double hold_s);

/// Time in which the oxygen monitor's cell comes within 1 % of its temperature, s: 4.6 time
/// constants of a first-order lag.
double oxygen_warm_up_s(const plant::Parameters& plant);

/// Heat capacity by which the insulation and casing slow the wall down, J/K: each layer's by the
/// square of its share of the steady temperature profile (Rayleigh's quotient of the slowest mode).
double insulation_capacity_J_per_K(const plant::Parameters& plant);

/// Heat capacity of what hangs in the gas: load, rack, elements, thin sheet, J/K.
double load_capacity_J_per_K(const plant::Parameters& plant);

/// Heat capacity of what follows the programme: the two above and the wall, J/K.
double heated_capacity_J_per_K(const plant::Parameters& plant);

/// Share of the wall's excess over the room that the casing has in steady state.
double casing_share(const plant::Parameters& plant);

/// Wall to room through the insulation: the layers' conductances in series, W/K.
double loss_W_per_K(const plant::Parameters& plant);

/// The fan's shaft power in gas of that temperature, W: it goes with density.
double fan_W(const plant::Parameters& plant, double gas_degC);

/// What warms the process gas on its way through the chamber, W/K: n cp.
double process_gas_W_per_K(const plant::Parameters& plant);

/// Heater power that a ramp at `rate_K_per_min` needs on reaching `to_degC`, W:
/// C dT/dt + (UA + n cp) (T - 20 degC), less the fan's shaft power.
double ramp_power_W(const plant::Parameters& plant, double rate_K_per_min, double to_degC);

/// What the blanket's throttle lets through the closed chamber on top of a gas path, L/min; 0
/// without a blanket.
double sweep_L_per_min(const plant::Parameters& parameters);

}  // namespace ovenproof::machine
