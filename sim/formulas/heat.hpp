#pragma once
#include <optional>

#include "sim/formulas/formula.hpp"

/// Heat of lumps. SI units; temperatures as excess over the room, K.
namespace ovenproof::formulas {

inline constexpr Formula lump_cooling{
    "one lump", "t = (C / G) ln(dT0 / dT1)",
    "lumped capacitance: Incropera, Fundamentals of Heat and Mass Transfer, section 5.1",
    "how the parts of the oven differ in temperature"};
inline constexpr Formula two_lump_cooling{
    "two lumps", "Cw dTw/dt = Ggw (Tg - Tw) - (Gj + G) (Tw - Ta), Cl dTl/dt = -Ggl (Tl - Tg)",
    "lumped capacitance (Incropera, section 5.1) of wall and load, joined by the gas and "
    "radiation",
    "the lag of the insulation, the run-up of damper and blower, and the wait until the gas has "
    "settled"};
inline constexpr Formula fan_against_losses{
    "fan against losses", "G (T - Ta) = P_fan(T)", "first law; fan law P ~ density",
    "draught through the closed damper, and how the gas is warmer than the wall"};
inline constexpr Formula two_lump_heating{
    "two lumps behind the gas",
    "C dT/dt = G (Tg - T) - losses of wall and load; P = sum of G (Tg - T) + n cp (Tg - Ta) + "
    "Ce dTg/dt - P_fan, at most the heater's",
    "lumped capacitance (Incropera, section 5.1) of wall and load, joined by the gas and "
    "radiation; the elements lead the gas",
    "the lag of the insulation, and the controller's lag, overshoot and settling"};
inline constexpr Formula jacket_effectiveness{
    "jacket effectiveness", "Q = m cp (1 - exp(-UA / m cp)) (Tw - Ta)",
    "one stream against a wall: Incropera, section 8.3; effectiveness of a heat exchanger with one "
    "stream of constant temperature, section 11.4",
    "the run-up of damper and blower, and the lag of the insulation"};
inline constexpr Formula series_loss{
    "conductances in series", "P = dT / sum(1 / G) + n cp dT - P_fan",
    "Incropera, section 3.1; fan law P ~ density",
    "heat that load and insulation still take up, and draught through the closed damper"};
inline constexpr Formula energy_balance{"energy balance", "E = sum of C dT + losses - fan work",
                                        "first law",
                                        "the lag of the insulation, and the controller's lag, "
                                        "overshoot and settling"};
inline constexpr Formula lag_behind{
    "lag of a second lump", "dt = -tau ln(1 - tau_load / tau)",
    "response of a first-order lag to an exponential, by derivation",
    "how the cooling differs from one exponential"};

/// Time of one lump of `capacity` J/K from one excess to a lower one through `conductance` W/K.
/// 0 if it is there already; empty if the end is not above 0 or nothing conducts.
std::optional<double> cooling_s(double capacity, double conductance, double from_K, double to_K);

/// Time of one lump from one excess to a higher one with constant `power` W; empty if the losses
/// eat the power first.
std::optional<double> heating_s(double capacity, double conductance, double power_W, double from_K,
                                double to_K);

/// Share of the temperature difference that a stream of `capacity_W_per_K` (m cp) takes on along a
/// wall: 1 - exp(-UA / m cp). 0 without a stream.
double effectiveness(double ua_W_per_K, double capacity_W_per_K);

/// Time by which a lump of time constant `lag_s` comes later than the exponential of `tau_s` that
/// it follows; empty if it does not keep up (lag not below tau).
std::optional<double> lag_behind_s(double tau_s, double lag_s);

}  // namespace ovenproof::formulas
