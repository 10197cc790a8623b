#pragma once
#include <algorithm>
#include <array>
#include <cstddef>

#include "sim/plant/constants.hpp"
#include "sim/plant/faults.hpp"
#include "sim/plant/parameters.hpp"
#include "sim/plant/signals.hpp"

/// The continuous part of the plant: heat and gas as one set of ordinary differential equations,
/// integrated by the classical fourth-order Runge-Kutta method. docs/plant.md derives the
/// equations.
namespace ovenproof::plant {

/// Positions in the vector of continuous states.
namespace at {
enum : std::size_t {
  element,           ///< K
  wall,              ///< K
  load,              ///< K, outside of the load
  load_inside,       ///< K
  insulation_inner,  ///< K
  insulation_outer,  ///< K
  casing,            ///< K
  gas_energy,        ///< J, internal energy of gas and baffles
  gas,               ///< mol in the chamber
  oxygen_stirred,    ///< mol O2 in the stirred zone
  oxygen_pockets,    ///< mol O2 in the pockets
  room_oxygen,       ///< mole fraction in the room
  state_count
};
}  // namespace at

/// Positions in the vector of books: integrals that feed nothing back.
namespace book {
enum : std::size_t {
  fan_J,           ///< fan work that became heat
  lost_J,          ///< heat and enthalpy that left, net
  purge_mol,       ///< supplied through the purge path
  process_mol,     ///< supplied through the process path
  blanket_mol,     ///< supplied through the blanket's regulator and throttle
  air_in_mol,      ///< drawn in through seals, door and exhaust
  gas_out_mol,     ///< left through exhaust, seals and door, or never arrived
  oxygen_in_mol,   ///< O2 in all that came in, exchange included
  oxygen_out_mol,  ///< O2 in all that left, exchange included
  book_count
};
}  // namespace book

using StateVector = std::array<double, at::state_count>;
using BookVector = std::array<double, book::book_count>;

/// What stays the same until a parameter, a fault or the surroundings change.
struct Constants {
  double ambient_K = 0;
  double inverse_element = 0, inverse_wall = 0, inverse_load = 0, inverse_inside = 0;  // K/J
  double inverse_inner = 0, inverse_outer = 0, inverse_casing = 0;                     // K/J
  double load_inside = 0, wall_inner = 0, inner_outer = 0, outer_casing = 0, casing_room = 0;
  double element_wall_rad = 0, wall_load_rad = 0;  // W/K4
  double ambient_K4 = 0;                           // K4
  double cv = 0, cp = 0;                           // J/(mol K)
  double baffles_J_per_K = 0;
  double R_over_V = 0;                               // Pa/(mol K)
  double supply_share = 0, supply_share_per_Pa = 0;  // regulated flow left: share - slope * dp
  double regulated = 1;                              // regulated flow, share of the nominal
  double purge_arrives = 1, process_arrives = 1;     // shares that reach the chamber
  double blanket_Pa = 0;                             // set pressure of its regulator
  double blanket = 0;                                // mol/(s Pa) below that
  double blanket_least = 0, blanket_most = 0;        // mol/s of the regulator
  double sweep = 0;                                  // mol/s of the throttle
  double supply_oxygen = 0;                          // mole fraction
  double cracking_Pa = 0;
  double exhaust = 0, exhaust_back = 0, seal = 0;   // mol/(s Pa)
  double relief_Pa = 0, vacuum_relief_Pa = 0;       // infinite where there is no such valve
  double relief = 0, vacuum_relief = 0;             // mol/(s Pa) beyond those
  double relief_leak = 0;                           // mol/(s Pa), either way
  double ingress = 0, back_diffusion = 0;           // mol/s of air exchanged
  double ducted = 0;                                // 1 or 0
  double pockets = 0;                               // share of the volume
  double inverse_stirred = 0, inverse_pockets = 0;  // 1 / share of the volume, 0 for none
  double inverse_room_mol = 0;                      // 1/mol
  double ventilation = 0;                           // mol/s
};

/// Spacing of the grid on which the jacket's conductance is tabulated, K. It depends on the wall
/// through the chimney's draught alone and so very smoothly: linear between the points is within
/// 2e-4 of it for a wall 60 K and more above the room.
inline constexpr double jacket_segment_K = 4.0;

/// The jacket on one segment of that grid.
struct JacketSegment {
  double start_K = 0;                 ///< wall temperature at the segment's start
  double W_per_K = 0, slope = 0;      ///< conductance there, W/K, and its rise per K
  double kg_per_s = 0, kg_slope = 0;  ///< airflow there, and its rise per K

  bool holds(double wall_K) const {
    const double into_K = wall_K - start_K;
    return into_K >= 0.0 && into_K < jacket_segment_K;
  }
  double conductance_W_per_K(double wall_K) const { return W_per_K + slope * (wall_K - start_K); }
  double airflow_kg_per_s(double wall_K) const { return kg_per_s + kg_slope * (wall_K - start_K); }
};

/// What the actuators make of the network at one instant.
struct Coefficients {
  double element_gas = 0, gas_wall = 0, gas_load = 0;  // W/K
  double fan_W_per_mol = 0;
  double pocket_rate = 0;         // 1/s
  double bypass = 0;              // share
  double purge = 0, process = 0;  // mol/s at full supply
  double door_gas_valve = 1;      // share in which it is open
  double door_exchange = 0;       // 1/s
  double door_equalise = 0;       // 1/(s Pa)
  double door_radiation = 0;      // W/K4
  JacketSegment jacket;
};

/// Positions of everything that strokes, opens or spins, 0..1.
struct Positions {
  double door = 0, fan = 0, purge_valve = 0, process_valve = 0, damper = 0, blower = 0;
  double door_gas_valve = 1;  ///< open where no such valve is fitted
  friend constexpr bool operator==(const Positions&, const Positions&) = default;
};

/// Derived constants of an oven in a given condition.
Constants constants(const Parameters& parameters, const Faults& faults,
                    const Surroundings& surroundings);

/// What of an oven relaxes by itself after a disturbance.
enum class Relaxing {
  elements,
  gas,  ///< with the thin sheet that follows it
  wall,
  load,  ///< its outside
  load_inside,
  insulation_inner,
  insulation_outer,
  casing,
  pockets,   ///< their oxygen
  door,      ///< oxygen through the open door
  pressure,  ///< of the chamber, relief valves shut
  relief,    ///< its pressure while a relief valve is open
  count
};
inline constexpr std::size_t relaxing_count = static_cast<std::size_t>(Relaxing::count);

/// Rates at which the parts relax, 1/s, by `Relaxing`: for heat, Gershgorin bounds of the network
/// (twice all conductances of a part over its heat capacity), each convection the larger of fan
/// running and at rest, radiation at 1400 K; for the pressure, the gas at 1200 K.
std::array<double, relaxing_count> relaxation_rates_per_s(const Parameters& parameters,
                                                          const Constants& constants);

/// Highest of those rates while the relief valves are shut, and at any time. A step times the rate
/// must stay below 2.7 for stability and below about 1 for accuracy.
double fastest_rate_per_s(const Parameters& parameters, const Constants& constants);
double fastest_rate_ever_per_s(const Parameters& parameters, const Constants& constants);

/// True if a part that relaxes at this rate can be stepped by `scan_s` while the oven moves. A
/// plant with one that cannot is refused; machine files are refused for it before.
constexpr bool can_be_stepped(double rate_per_s, double scan_s) {
  return rate_per_s * scan_s < 2.0;
}

/// The jacket's segment that holds `wall_K`. It depends on damper and blower alone.
JacketSegment jacket_segment(const CoolingParameters& parameters, const Positions& positions,
                             double wall_K, double ambient_K);

/// Coefficients for given positions.
Coefficients coefficients(const Parameters& parameters, const Positions& positions,
                          const JacketSegment& jacket);

/// Flows and levels that follow from a state; what `rates` works out on its way.
struct Algebra {
  double gas_K, pressure_Pa;                            // gauge
  double stirred, pocket;                               // O2 mole fractions
  double purge, process, out, back, seal_out, seal_in;  // mol/s
  double blanket;                                       // mol/s
  double fresh, astray;                                 // mol/s of all into chamber, into the room
  double relief, relief_back, vacuum_relief;            // mol/s
  double jacket_W;
};

constexpr double fourth_power(double x) { return (x * x) * (x * x); }

inline double gas_K(const Constants& c, const StateVector& y) {
  return y[at::gas_energy] / (y[at::gas] * c.cv + c.baffles_J_per_K);
}

/// Gauge pressure of the chamber, Pa.
inline double gauge_Pa(const Constants& c, const StateVector& y, double gas_K) {
  return y[at::gas] * gas_K * c.R_over_V - atmosphere_Pa;
}

/// True while a relief valve is open.
inline bool relieves(const Constants& c, const StateVector& y) {
  const double dp = gauge_Pa(c, y, gas_K(c, y));
  return dp > c.relief_Pa || -dp > c.vacuum_relief_Pa;
}

/// Flows and levels at a state.
inline Algebra algebra(const Constants& c, const Coefficients& k, const StateVector& y) {
  Algebra a;
  const double n = y[at::gas];
  const double per_n = 1.0 / n;
  a.gas_K = gas_K(c, y);
  const double dp = gauge_Pa(c, y, a.gas_K);
  a.pressure_Pa = dp;
  a.stirred = y[at::oxygen_stirred] * per_n * c.inverse_stirred;
  a.pocket = y[at::oxygen_pockets] * per_n * c.inverse_pockets;
  const double share =
      std::min(c.regulated, std::max(0.0, c.supply_share - dp * c.supply_share_per_Pa));
  a.purge = k.purge * share;
  a.process = k.process * share;
  const double arrived = a.purge * c.purge_arrives + a.process * c.process_arrives;
  a.astray = a.purge + a.process - arrived;
  const double regulated =
      std::min(c.blanket_most, std::max(c.blanket_least, c.blanket * (c.blanket_Pa - dp)));
  a.blanket = k.door_gas_valve * std::min(1.0, share) * (regulated + c.sweep);
  a.fresh = arrived + a.blanket;
  a.out = c.exhaust * std::max(0.0, dp - c.cracking_Pa);
  a.back = c.exhaust_back * std::max(0.0, -dp);
  a.relief = c.relief * std::max(0.0, dp - c.relief_Pa) + c.relief_leak * std::max(0.0, dp);
  a.relief_back = c.relief_leak * std::max(0.0, -dp);
  a.vacuum_relief = c.vacuum_relief * std::max(0.0, -dp - c.vacuum_relief_Pa);
  const double seal = (c.seal + k.door_equalise * n) * dp;
  a.seal_out = std::max(0.0, seal);
  a.seal_in = std::max(0.0, -seal);
  a.jacket_W = k.jacket.conductance_W_per_K(y[at::wall]) * (y[at::wall] - c.ambient_K);
  return a;
}

/// Time derivatives of states and books at one instant. `heater_W` is the electric power.
inline void rates(const Constants& c, const Coefficients& k, double heater_W, const StateVector& y,
                  StateVector& dy, BookVector& db) {
  const Algebra a = algebra(c, k, y);
  const double n = y[at::gas];
  const double T_gas = a.gas_K, T_wall = y[at::wall], T_load = y[at::load];
  const double T_element = y[at::element], T_inside = y[at::load_inside];
  const double T_inner = y[at::insulation_inner], T_outer = y[at::insulation_outer];
  const double T_casing = y[at::casing], x_room = y[at::room_oxygen];

  // Heat, W.
  const double wall_4 = fourth_power(T_wall), load_4 = fourth_power(T_load);
  const double element_gas = k.element_gas * (T_element - T_gas);
  const double element_wall = c.element_wall_rad * (fourth_power(T_element) - wall_4);
  const double gas_wall = k.gas_wall * (T_gas - T_wall);
  const double gas_load = k.gas_load * (T_gas - T_load);
  const double wall_load = c.wall_load_rad * (wall_4 - load_4);
  const double inside = c.load_inside * (T_load - T_inside);
  const double wall_inner = c.wall_inner * (T_wall - T_inner);
  const double inner_outer = c.inner_outer * (T_inner - T_outer);
  const double outer_casing = c.outer_casing * (T_outer - T_casing);
  const double casing_room = c.casing_room * (T_casing - c.ambient_K);
  const double wall_door = k.door_radiation * (wall_4 - c.ambient_K4);
  const double load_door = k.door_radiation * (load_4 - c.ambient_K4);
  const double fan = k.fan_W_per_mol * n;

  // Gas, mol/s.
  const double fresh = a.fresh;
  const double room_in = a.seal_in + a.vacuum_relief;
  const double duct_in = a.back + a.relief_back;
  const double air_in = room_in + duct_in;
  const double gas_out = a.out + a.relief + a.seal_out;
  const double swap_room = c.ingress + k.door_exchange * n;
  const double swap = swap_room + c.back_diffusion;
  const double x_duct = x_room + c.ducted * (air_oxygen - x_room);
  const double bypass = k.bypass * std::min(fresh, a.out);
  const double oxygen_exhaust = a.out * a.stirred + bypass * (c.supply_oxygen - a.stirred);
  const double dn = fresh + air_in - gas_out;
  const double oxygen_in = fresh * c.supply_oxygen + (room_in + swap_room) * x_room +
                           (duct_in + c.back_diffusion) * x_duct;
  const double oxygen_out = oxygen_exhaust + (a.relief + a.seal_out + swap) * a.stirred;
  const double into_pockets = c.pockets * dn;
  const double pockets = k.pocket_rate * c.pockets * n * (a.stirred - a.pocket) +
                         std::max(0.0, into_pockets) * a.stirred +
                         std::min(0.0, into_pockets) * a.pocket;

  // Enthalpy with the gas; what comes in is as warm as the room.
  const double enthalpy_out =
      c.cp * (T_gas * gas_out - c.ambient_K * (fresh + air_in) + swap * (T_gas - c.ambient_K));

  dy[at::element] = (heater_W - element_gas - element_wall) * c.inverse_element;
  dy[at::wall] =
      (element_wall + gas_wall - wall_load - wall_inner - a.jacket_W - wall_door) * c.inverse_wall;
  dy[at::load] = (gas_load + wall_load - inside - load_door) * c.inverse_load;
  dy[at::load_inside] = inside * c.inverse_inside;
  dy[at::insulation_inner] = (wall_inner - inner_outer) * c.inverse_inner;
  dy[at::insulation_outer] = (inner_outer - outer_casing) * c.inverse_outer;
  dy[at::casing] = (outer_casing - casing_room) * c.inverse_casing;
  dy[at::gas_energy] = element_gas - gas_wall - gas_load + fan - enthalpy_out;
  dy[at::gas] = dn;
  dy[at::oxygen_stirred] = oxygen_in - oxygen_out - pockets;
  dy[at::oxygen_pockets] = pockets;

  // Room: mechanical extraction draws in what the released gas does not fill.
  const double into_room = 1.0 - c.ducted;
  const double released = into_room * (a.out + a.relief) + a.seal_out + a.astray;
  const double fresh_air = std::max(0.0, c.ventilation - released);
  const double room =
      fresh_air * (air_oxygen - x_room) + into_room * (oxygen_exhaust - a.out * x_room) +
      (a.seal_out + swap_room + into_room * (c.back_diffusion + a.relief)) * (a.stirred - x_room) +
      a.astray * (c.supply_oxygen - x_room);
  dy[at::room_oxygen] = room * c.inverse_room_mol;

  db[book::fan_J] = fan;
  db[book::lost_J] = casing_room + a.jacket_W + wall_door + load_door + enthalpy_out;
  db[book::purge_mol] = a.purge;
  db[book::process_mol] = a.process;
  db[book::blanket_mol] = a.blanket;
  db[book::air_in_mol] = air_in;
  db[book::gas_out_mol] = gas_out + a.astray;
  db[book::oxygen_in_mol] = oxygen_in + a.astray * c.supply_oxygen;
  db[book::oxygen_out_mol] = oxygen_out + a.astray * c.supply_oxygen;
}

/// One step of the classical Runge-Kutta method: fourth order where the right-hand side is smooth.
/// `start`, `middle`, `end` are the coefficients at those instants; power is held over the step.
/// Gives the rates of the books at the start.
BookVector runge_kutta_4(const Constants& c, const Coefficients& start, const Coefficients& middle,
                         const Coefficients& end, double heater_W, double step_s, StateVector& y,
                         BookVector& books);

}  // namespace ovenproof::plant
