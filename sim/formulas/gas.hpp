#pragma once
#include <optional>

#include "sim/formulas/formula.hpp"

/// Gas in a purged chamber. Flows in L/min at 0 degC and 101.325 kPa, oxygen in ppm (mole
/// fraction), volumes in L, temperatures in degC.
namespace ovenproof::formulas {

/// Oxygen in dry air, ppm (US Standard Atmosphere 1976: 20.948 %, rounded as in oxygen-deficiency
/// practice).
inline constexpr double dry_air_ppm = 209'500.0;

inline constexpr Formula stirred_purge{
    "stirred dilution", "N = K ln((C0 - Cf) / (C - Cf)), t = N V (T0 / T) / Q",
    "Crowl and Louvar, Chemical Process Safety, sweep-through purging; mixing factor K as in "
    "industrial ventilation practice (from memory: ACGIH Industrial Ventilation, dilution "
    "ventilation, page unknown: check against the source)",
    "pockets that mix slowly, and the run-up of valve and fan"};
inline constexpr Formula two_streams{
    "two streams", "Cf = (Q/K Cs + L 0.2095) / (Q/K + L)",
    "balance of oxygen over a stirred chamber, by derivation; about 0.2095 K L / Q",
    "how flow and air ingress vary with the pressure"};
inline constexpr Formula holding_flow{"two streams, solved for the flow",
                                      "Q = K L (0.2095 - C) / (C - Cs)",
                                      "balance of oxygen over a stirred chamber, by derivation",
                                      "how flow and air ingress vary with the pressure"};
inline constexpr Formula contraction{
    "ideal gas at constant pressure", "q = V (T0 / T^2) (-dT/dt)", "ideal gas law, by derivation",
    "how the gas runs ahead of wall and load, and how the pressure varies"};
inline constexpr Formula cylinder_content{
    "ideal gas in a cylinder", "content = v (p - p_left) / p0 x T0 / T",
    "ideal gas law; real nitrogen of 200 bar holds some 5 % less, argon some 5 % more (from "
    "memory: NIST Chemistry WebBook, isotherms of nitrogen and argon: check against the source)",
    "what makes the flows and times it is divided by differ from the predicted ones"};
inline constexpr Formula flow_times_time{
    "flow x time", "G = sum of Q t", "definition",
    "how flows vary with the pressure, and what makes the times differ from the predicted ones: "
    "run-up, the lag of wall and load, the controller's lag, overshoot and settling"};

/// Mixing factor K of gas of which the share `bypass` leaves unmixed: 1 / (1 - bypass).
/// \pre 0 <= bypass < 1
double mixing_factor(double bypass);

/// What a volume of gas at `degC` and 101.325 kPa is at 0 degC: V T0 / T.
double at_zero_degC(double volume, double degC);

/// Least oxygen that a flow of `supply_ppm` can hold against the air `ingress`. `flow` is the share
/// that mixes, Q / K. Dry air where nothing flows.
double oxygen_floor_ppm(double supply_ppm, double flow, double ingress);

/// Volume changes of an ideally stirred chamber from `start_ppm` to `target_ppm` towards
/// `floor_ppm`. 0 if it is there already; empty if the floor is not below the target.
std::optional<double> volume_changes(double start_ppm, double target_ppm, double floor_ppm);

/// Oxygen after that many volume changes.
double oxygen_after_ppm(double start_ppm, double floor_ppm, double volumes);

/// Flow, of which all mixes, that just holds `level_ppm` against the air `ingress`. Empty if the
/// supply is not below the level; 0 if the level is that of air or above.
std::optional<double> flow_to_hold(double level_ppm, double supply_ppm, double ingress);

/// Air ingress that explains the level at which a purge flow settles: Q (C - Cs) / (0.2095 - C).
double ingress_from_floor(double floor_ppm, double supply_ppm, double flow);

/// Flow that must come in to keep the pressure of a chamber at `degC` that cools by
/// `fall_K_per_min`; negative while it warms.
double contraction_L_per_min(double volume_L, double degC, double fall_K_per_min);

/// Highest contraction on an exponential way down from `from_degC` to `to_degC` towards `end_degC`
/// with the time constant `tau_min`: (T - T_end) / T^2 is greatest at T = 2 T_end (in K).
double peak_contraction_L_per_min(double volume_L, double from_degC, double to_degC,
                                  double end_degC, double tau_min);

/// What a full cylinder gives off until `left_bar` (gauge) is left, in L at 0 degC and 101.325 kPa.
double cylinder_content_L(double volume_L, double full_bar, double left_bar, double degC);

}  // namespace ovenproof::formulas
