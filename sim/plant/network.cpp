#include "sim/plant/network.hpp"

#include <cmath>
#include <limits>

#include "sim/plant/jacket.hpp"
#include "sim/plant/portable_math.hpp"

namespace ovenproof::plant {
namespace {

/// Molar heat at constant pressure, J/(mol K): nitrogen as the mean of 20..550 degC (Incropera,
/// Fundamentals of Heat and Mass Transfer, table A.4), argon 5/2 R. The few per cent of air in the
/// chamber and the air at the start of a purge count as the inert gas.
double molar_heat(Gas gas) { return gas == Gas::nitrogen ? 29.9 : 2.5 * gas_constant; }

/// Forced convection in the gas against nitrogen: h ~ k^0.6 cp^0.4 (rho/mu)^0.8 mu^0.4 with the
/// properties of both gases at 300..500 K.
double convection_factor(Gas gas) { return gas == Gas::nitrogen ? 1.0 : 0.74; }

/// Shortest time in which the chamber's excess pressure may relax, s, and the temperature at which
/// that is reckoned, K.
constexpr double shortest_relaxation_s = 0.030;
constexpr double relaxation_K = 1200.0;

/// Conductance in mol/(s Pa), no larger than the shortest relaxation allows.
double conductance(double L_per_min_Pa, double volume_m3) {
  const double fastest = volume_m3 / (gas_constant * relaxation_K * shortest_relaxation_s);
  return std::min(L_per_min_Pa * mol_per_s_in_L_per_min, fastest);
}

double blend(double still, double moving, double share) { return still + (moving - still) * share; }

struct LoadCapacities {
  double outside, inside;
};

LoadCapacities load_capacities(const LoadParameters& p) {
  const double charge = p.mass_kg * p.specific_heat_J_per_kgK;
  // An empty rack has no inside; a thousandth of the rack keeps the node alive.
  return {p.rack_J_per_K + charge * (1.0 - p.inside_fraction),
          std::max(charge * p.inside_fraction, 0.001 * p.rack_J_per_K)};
}

/// The inside follows no faster than its charge can: without charge there is no inside to heat.
double inside_conductance(const LoadParameters& p) {
  const double inside = load_capacities(p).inside;
  return std::min(p.inside_conductance_W_per_K, inside / 1.0);
}

/// A relief valve as its faults leave it. One that leaks in part still opens with the rest.
struct ReliefValve {
  double opens_Pa = std::numeric_limits<double>::infinity();
  double open = 0, leak = 0;  // mol/(s Pa): beyond `opens_Pa`, and at any pressure
  double leaking = 0;         // share of the valve
};

ReliefValve relief_valve(std::optional<double> opens_Pa, std::optional<double> L_per_min_Pa,
                         double volume_m3, double leaking, double stuck_closed) {
  if (!opens_Pa || !L_per_min_Pa) return {};
  const double whole = conductance(*L_per_min_Pa, volume_m3);
  return {*opens_Pa, whole * (1.0 - leaking) * (1.0 - stuck_closed), whole * leaking, leaking};
}

}  // namespace

Constants constants(const Parameters& p, const Faults& faults, const Surroundings& around) {
  Constants c;
  c.ambient_K = to_K(around.ambient_degC);
  c.ambient_K4 = fourth_power(c.ambient_K);

  const LoadCapacities load = load_capacities(p.load);
  c.inverse_element = 1.0 / p.heater.heat_capacity_J_per_K;
  c.inverse_wall = 1.0 / p.wall.heat_capacity_J_per_K;
  c.inverse_load = 1.0 / load.outside;
  c.inverse_inside = 1.0 / load.inside;
  c.inverse_inner = 1.0 / p.insulation.inner_J_per_K;
  c.inverse_outer = 1.0 / p.insulation.outer_J_per_K;
  c.inverse_casing = 1.0 / p.insulation.casing_J_per_K;
  c.load_inside = inside_conductance(p.load);
  c.wall_inner = p.insulation.wall_inner_W_per_K;
  c.inner_outer = p.insulation.inner_outer_W_per_K;
  c.outer_casing = p.insulation.outer_casing_W_per_K;
  c.casing_room = p.insulation.casing_room_W_per_K;
  c.element_wall_rad = stefan_boltzmann * p.heater.wall_radiation_m2;
  c.wall_load_rad = stefan_boltzmann * p.load.wall_radiation_m2;

  c.cp = molar_heat(p.supply.gas);
  c.cv = c.cp - gas_constant;
  c.baffles_J_per_K = p.wall.baffles_J_per_K;
  c.R_over_V = gas_constant / p.chamber.volume_m3;

  const double supply_kPa = around.supply_kPa * (1.0 - faults[Fault::supply_failing]);
  c.supply_share = supply_kPa / p.supply.regulator_drop_kPa;
  c.supply_share_per_Pa = 1e-3 / p.supply.regulator_drop_kPa;
  const double supplied = 1e-6 * p.supply.oxygen_ppm;
  c.supply_oxygen = supplied + (air_oxygen - supplied) * faults[Fault::supply_impure];
  c.regulated = 1.0 + 2.0 * faults[Fault::regulator_failed_open];
  if (p.blanket.pressure_Pa) {
    const double works = 1.0 - faults[Fault::blanket_stuck_closed];
    c.blanket_Pa = *p.blanket.pressure_Pa * (1.0 + 4.0 * faults[Fault::blanket_set_high]) *
                   (1.0 - faults[Fault::blanket_set_low]);
    c.blanket =
        works * conductance(p.blanket.max_L_per_min / p.blanket.band_Pa, p.chamber.volume_m3);
    c.blanket_most = works * p.blanket.max_L_per_min * mol_per_s_in_L_per_min;
    c.blanket_least = c.blanket_most * faults[Fault::blanket_stuck_open];
    c.sweep = p.blanket.sweep_L_per_min * mol_per_s_in_L_per_min *
              (1.0 - faults[Fault::blanket_sweep_blocked]);
  }
  c.purge_arrives = 1.0 - faults[Fault::purge_pipe_off];
  c.process_arrives = 1.0 - faults[Fault::process_pipe_off];

  const double stuck_open = faults[Fault::non_return_stuck_open];
  const double exhaust = conductance(p.exhaust.conductance_L_per_min_Pa, p.chamber.volume_m3) *
                         (1.0 - faults[Fault::exhaust_blocked]);
  c.cracking_Pa = p.exhaust.cracking_pressure_Pa * (1.0 - stuck_open);
  c.exhaust = exhaust * (1.0 - faults[Fault::non_return_stuck_closed]);
  c.exhaust_back = exhaust * stuck_open;
  c.ducted = p.exhaust.ducted ? 1.0 : 0.0;

  // A relief valve that leaks is an opening as the exhaust is: gas and air pass it either way.
  const ReliefValve relief = relief_valve(
      p.exhaust.relief_pressure_Pa, p.exhaust.relief_conductance_L_per_min_Pa, p.chamber.volume_m3,
      faults[Fault::relief_leaking], faults[Fault::relief_stuck_closed]);
  c.relief_Pa = relief.opens_Pa;
  c.relief = relief.open;
  c.relief_leak = relief.leak;
  c.back_diffusion = p.exhaust.back_diffusion_L_per_min * mol_per_s_in_L_per_min *
                     (stuck_open * (1.0 - faults[Fault::exhaust_blocked]) + relief.leaking);

  const ReliefValve vacuum =
      relief_valve(p.chamber.vacuum_relief_pressure_Pa,
                   p.chamber.vacuum_relief_conductance_L_per_min_Pa, p.chamber.volume_m3,
                   faults[Fault::vacuum_relief_leaking], faults[Fault::vacuum_relief_stuck_closed]);
  c.vacuum_relief_Pa = vacuum.opens_Pa;
  c.vacuum_relief = vacuum.open;

  const double seal = faults[Fault::seal_leaking];
  c.seal = conductance(p.tightness.seal_conductance_L_per_min_Pa +
                           seal * p.tightness.failed_seal_conductance_L_per_min_Pa,
                       p.chamber.volume_m3) +
           vacuum.leak;
  c.ingress =
      (p.tightness.air_ingress_L_per_min + seal * p.tightness.failed_seal_ingress_L_per_min +
       vacuum.leaking * p.exhaust.back_diffusion_L_per_min) *
      mol_per_s_in_L_per_min;

  c.pockets = p.mixing.pocket_fraction;
  c.inverse_stirred = 1.0 / (1.0 - c.pockets);
  c.inverse_pockets = c.pockets > 0.0 ? 1.0 / c.pockets : 0.0;

  const double room_mol = atmosphere_Pa * p.room.volume_m3 / (gas_constant * c.ambient_K);
  c.inverse_room_mol = 1.0 / room_mol;
  c.ventilation = room_mol * p.room.air_changes_per_h / 3600.0 * around.ventilation_share;
  return c;
}

std::array<double, relaxing_count> relaxation_rates_per_s(const Parameters& p, const Constants& c) {
  const double rad = 4.0 * stefan_boltzmann * 1400.0 * 1400.0 * 1400.0;
  const double f = convection_factor(p.supply.gas);
  const auto convection = [f](const auto& part) {
    return f * std::max(part.convection_fan_W_per_K, part.convection_still_W_per_K);
  };
  const double element_gas = convection(p.heater);
  const double gas_wall = convection(p.wall);
  const double gas_load = convection(p.load);
  const double element_wall = rad * p.heater.wall_radiation_m2;
  const double wall_load = rad * p.load.wall_radiation_m2;
  const double inside = inside_conductance(p.load);
  const double jacket = p.cooling.fitted ? p.cooling.ua_W_per_K : 0.0;
  const double door = rad * p.door.aperture_m2 * p.door.emissivity;
  const LoadCapacities load = load_capacities(p.load);
  const InsulationParameters& i = p.insulation;

  std::array<double, relaxing_count> rates{};
  const auto set = [&rates](Relaxing part, double rate_per_s) {
    rates[static_cast<std::size_t>(part)] = rate_per_s;
  };
  const auto heat = [&set](Relaxing part, double conductances_W_per_K, double capacity_J_per_K) {
    set(part, 2.0 * conductances_W_per_K / capacity_J_per_K);
  };
  heat(Relaxing::elements, element_gas + element_wall, p.heater.heat_capacity_J_per_K);
  heat(Relaxing::gas, element_gas + gas_wall + gas_load, p.wall.baffles_J_per_K);
  heat(Relaxing::wall, element_wall + gas_wall + wall_load + i.wall_inner_W_per_K + jacket + door,
       p.wall.heat_capacity_J_per_K);
  heat(Relaxing::load, gas_load + wall_load + inside + door, load.outside);
  heat(Relaxing::load_inside, inside, load.inside);
  heat(Relaxing::insulation_inner, i.wall_inner_W_per_K + i.inner_outer_W_per_K, i.inner_J_per_K);
  heat(Relaxing::insulation_outer, i.inner_outer_W_per_K + i.outer_casing_W_per_K, i.outer_J_per_K);
  heat(Relaxing::casing, i.outer_casing_W_per_K + i.casing_room_W_per_K, i.casing_J_per_K);
  set(Relaxing::pockets, 2.0 / std::min(p.mixing.pocket_time_fan_s, p.mixing.pocket_time_still_s));
  set(Relaxing::door, 2.0 / p.door.exchange_time_s);
  // The regulator is shut where the exhaust is open, unless one of the two is broken or set so.
  const double by_pressure =
      c.blanket_Pa <= c.cracking_Pa ? std::max(c.exhaust, c.blanket) : c.exhaust + c.blanket;
  const double ways = by_pressure + c.exhaust_back + c.relief_leak + c.seal;
  const double per_way = c.cp / c.cv * c.R_over_V * relaxation_K;
  set(Relaxing::pressure, ways * per_way);
  set(Relaxing::relief, (ways + std::max(c.relief, c.vacuum_relief)) * per_way);
  return rates;
}

double fastest_rate_per_s(const Parameters& p, const Constants& c) {
  auto rates = relaxation_rates_per_s(p, c);
  rates[static_cast<std::size_t>(Relaxing::relief)] = 0.0;
  return *std::max_element(rates.begin(), rates.end());
}

double fastest_rate_ever_per_s(const Parameters& p, const Constants& c) {
  const auto rates = relaxation_rates_per_s(p, c);
  return *std::max_element(rates.begin(), rates.end());
}

JacketSegment jacket_segment(const CoolingParameters& p, const Positions& at, double wall_K,
                             double ambient_K) {
  JacketSegment s;
  s.start_K = std::floor(wall_K / jacket_segment_K) * jacket_segment_K;
  const double end_K = s.start_K + jacket_segment_K;
  const JacketFlow a = jacket_flow(p, at.blower, at.damper, s.start_K, ambient_K);
  const JacketFlow b = jacket_flow(p, at.blower, at.damper, end_K, ambient_K);
  s.W_per_K = a.W_per_K;
  s.slope = (b.W_per_K - a.W_per_K) / jacket_segment_K;
  s.kg_per_s = a.kg_per_s;
  s.kg_slope = (b.kg_per_s - a.kg_per_s) / jacket_segment_K;
  return s;
}

Coefficients coefficients(const Parameters& p, const Positions& at, const JacketSegment& jacket) {
  Coefficients k;
  const double moving = portable::pow(at.fan, 0.8);  // Dittus-Boelter: h ~ Re^0.8
  const double f = convection_factor(p.supply.gas);
  k.element_gas =
      f * blend(p.heater.convection_still_W_per_K, p.heater.convection_fan_W_per_K, moving);
  k.gas_wall = f * blend(p.wall.convection_still_W_per_K, p.wall.convection_fan_W_per_K, moving);
  k.gas_load = f * blend(p.load.convection_still_W_per_K, p.load.convection_fan_W_per_K, moving);
  // Fan law P ~ rho n^3, on the moles the chamber holds at 20 degC.
  const double cold_mol = atmosphere_Pa * p.chamber.volume_m3 / (gas_constant * to_K(20.0));
  k.fan_W_per_mol = p.fan.shaft_power_W * at.fan * at.fan * at.fan / cold_mol;
  k.pocket_rate =
      blend(1.0 / p.mixing.pocket_time_still_s, 1.0 / p.mixing.pocket_time_fan_s, at.fan);
  k.bypass = blend(p.mixing.bypass_still, p.mixing.bypass_fan, at.fan);

  k.door_gas_valve = at.door_gas_valve;
  k.purge = at.door_gas_valve * at.purge_valve * p.supply.purge_L_per_min * mol_per_s_in_L_per_min;
  k.process =
      at.door_gas_valve * at.process_valve * p.supply.process_L_per_min * mol_per_s_in_L_per_min;

  k.door_exchange = at.door / p.door.exchange_time_s;
  // A gap of a few per cent already vents the chamber within the shortest relaxation.
  k.door_equalise = std::min(1.0, at.door / 0.05) / (atmosphere_Pa * shortest_relaxation_s);
  // Half of what the aperture sees is wall, half is load.
  k.door_radiation = 0.5 * stefan_boltzmann * p.door.emissivity * p.door.aperture_m2 * at.door;

  k.jacket = jacket;
  return k;
}

BookVector runge_kutta_4(const Constants& c, const Coefficients& start, const Coefficients& middle,
                         const Coefficients& end, double heater_W, double step_s, StateVector& y,
                         BookVector& books) {
  StateVector d, sum, stage;
  BookVector b, book_sum, at_start;
  const double half = 0.5 * step_s;
  const double sixth = step_s / 6.0;

  rates(c, start, heater_W, y, sum, at_start);
  for (std::size_t i = 0; i < at::state_count; ++i) stage[i] = y[i] + half * sum[i];

  rates(c, middle, heater_W, stage, d, b);
  for (std::size_t i = 0; i < at::state_count; ++i) {
    stage[i] = y[i] + half * d[i];
    sum[i] += 2.0 * d[i];
  }
  for (std::size_t i = 0; i < book::book_count; ++i) book_sum[i] = at_start[i] + 2.0 * b[i];

  rates(c, middle, heater_W, stage, d, b);
  for (std::size_t i = 0; i < at::state_count; ++i) {
    stage[i] = y[i] + step_s * d[i];
    sum[i] += 2.0 * d[i];
  }
  for (std::size_t i = 0; i < book::book_count; ++i) book_sum[i] += 2.0 * b[i];

  rates(c, end, heater_W, stage, d, b);
  for (std::size_t i = 0; i < at::state_count; ++i) y[i] += sixth * (sum[i] + d[i]);
  for (std::size_t i = 0; i < book::book_count; ++i) books[i] += sixth * (book_sum[i] + b[i]);
  return at_start;
}

}  // namespace ovenproof::plant
