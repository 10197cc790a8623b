#pragma once

/// Physical constants and the conversions the plant needs.
namespace ovenproof::plant {

/// Molar gas constant, J/(mol K), and Faraday constant, C/mol (CODATA 2018, both exact).
inline constexpr double gas_constant = 8.314462618;
inline constexpr double faraday_constant = 96485.33212;
/// Stefan-Boltzmann constant, W/(m2 K4) (CODATA 2018).
inline constexpr double stefan_boltzmann = 5.670374419e-8;
/// Standard acceleration of gravity, m/s2 (exact by definition).
inline constexpr double gravity = 9.80665;

/// 0 degC in K.
inline constexpr double celsius_zero_K = 273.15;
/// Pressure of the surroundings and of the reference state of flows, Pa.
inline constexpr double atmosphere_Pa = 101325.0;
/// Mole fraction of oxygen in dry air (US Standard Atmosphere 1976: 0.20948; rounded as in
/// oxygen-deficiency practice).
inline constexpr double air_oxygen = 0.2095;

/// mol in a litre at 0 degC and 101.325 kPa.
inline constexpr double mol_per_L = atmosphere_Pa * 1e-3 / (gas_constant * celsius_zero_K);
/// mol/s in a flow of 1 L/min at 0 degC and 101.325 kPa.
inline constexpr double mol_per_s_in_L_per_min = mol_per_L / 60.0;

/// Air at 20 degC: density kg/m3 (ideal gas, M = 28.965 g/mol) and specific heat J/(kg K)
/// (Incropera, Fundamentals of Heat and Mass Transfer, table A.4, 300 K).
inline constexpr double air_density = 1.2041;
inline constexpr double air_specific_heat = 1007.0;

/// Below this an atmosphere is oxygen-deficient for people, mole fraction: 19.5 % (OSHA 29 CFR
/// 1910.146 (b); EIGA Doc 44).
inline constexpr double least_oxygen_for_people = 0.195;
/// Bare metal burns skin in 10 s from this temperature on, degC,
/// from memory: ISO 13732-1:2006, figure of uncoated metal, number unknown: check against the
/// standard.
inline constexpr double bare_metal_burn_degC = 55.0;

constexpr double to_K(double degC) { return degC + celsius_zero_K; }
constexpr double to_degC(double K) { return K - celsius_zero_K; }

}  // namespace ovenproof::plant
