#include "sim/machine/estimate.hpp"

#include <algorithm>
#include <cmath>

#include "sim/formulas/gas.hpp"
#include "sim/plant/constants.hpp"
#include "sim/plant/portable_math.hpp"

namespace ovenproof::machine {

namespace {

/// Share of the whole temperature difference that is left at the insulation's inner layer, outer
/// layer and casing in steady state.
struct Profile {
  double inner, outer, casing;
};

Profile steady_profile(const plant::InsulationParameters& i) {
  const double casing = 1.0 / i.casing_room_W_per_K;
  const double outer = casing + 1.0 / i.outer_casing_W_per_K;
  const double inner = outer + 1.0 / i.inner_outer_W_per_K;
  const double whole = inner + 1.0 / i.wall_inner_W_per_K;
  return {inner / whole, outer / whole, casing / whole};
}

}  // namespace

double mixing_share(const plant::Parameters& p) {
  return 1.0 / formulas::mixing_factor(p.mixing.bypass_fan);
}

double oxygen_floor_ppm(const plant::Parameters& p, double flow_L_per_min) {
  return formulas::oxygen_floor_ppm(p.supply.oxygen_ppm, flow_L_per_min * mixing_share(p),
                                    p.tightness.air_ingress_L_per_min);
}

std::optional<double> volume_changes_to(const plant::Parameters& p, double target_ppm) {
  const auto stirred = formulas::volume_changes(formulas::dry_air_ppm, target_ppm,
                                                oxygen_floor_ppm(p, p.supply.purge_L_per_min));
  if (!stirred) return std::nullopt;
  return *stirred / mixing_share(p);
}

double volume_change_s(const plant::Parameters& p) {
  return formulas::at_zero_degC(p.chamber.volume_m3 * 1000.0, ambient_degC) /
         p.supply.purge_L_per_min * 60.0;
}

double pockets_after_purge_ppm(const plant::Parameters& p, double least_volumes,
                               std::optional<double> gate_ppm, double hold_s) {
  const double f = p.mixing.pocket_fraction;
  const double flushed = mixing_share(p) / volume_change_s(p);  // 1/s of the whole volume
  const double exchange = 1.0 / p.mixing.pocket_time_fan_s;
  // (1 - f) x_s' = -flushed x_s + f exchange (x_p - x_s), x_p' = exchange (x_s - x_p): two
  // exponentials, of which the slow one is left at the end.
  const double sum = exchange + (flushed + f * exchange) / (1.0 - f);
  const double product = exchange * flushed / (1.0 - f);
  const double root = std::sqrt(sum * sum - 4.0 * product);
  const double slow = 2.0 * product / (sum + root);
  const double quick = 0.5 * (sum + root);
  const auto decayed = [](double rate, double s) { return plant::portable::exp(-rate * s); };
  const double floor_ppm = oxygen_floor_ppm(p, p.supply.purge_L_per_min);
  const double purged_s = least_volumes * volume_change_s(p);
  const double by_volumes =
      floor_ppm + formulas::dry_air_ppm *
                      (quick * decayed(slow, purged_s) - slow * decayed(quick, purged_s)) / root;
  if (!gate_ppm) return by_volumes;
  const double above = std::max(0.0, *gate_ppm - floor_ppm) * exchange / (exchange - slow);
  return std::min(by_volumes, floor_ppm + above * decayed(slow, hold_s));
}

double oxygen_warm_up_s(const plant::Parameters& p) {
  return 4.6 * p.oxygen.warm_up_time_constant_s;
}

double insulation_capacity_J_per_K(const plant::Parameters& p) {
  const Profile share = steady_profile(p.insulation);
  return share.inner * share.inner * p.insulation.inner_J_per_K +
         share.outer * share.outer * p.insulation.outer_J_per_K +
         share.casing * share.casing * p.insulation.casing_J_per_K;
}

double load_capacity_J_per_K(const plant::Parameters& p) {
  return p.heater.heat_capacity_J_per_K + p.wall.baffles_J_per_K +
         p.load.mass_kg * p.load.specific_heat_J_per_kgK + p.load.rack_J_per_K;
}

double heated_capacity_J_per_K(const plant::Parameters& p) {
  return load_capacity_J_per_K(p) + p.wall.heat_capacity_J_per_K + insulation_capacity_J_per_K(p);
}

double casing_share(const plant::Parameters& p) { return steady_profile(p.insulation).casing; }

double loss_W_per_K(const plant::Parameters& p) {
  return 1.0 / (1.0 / p.insulation.wall_inner_W_per_K + 1.0 / p.insulation.inner_outer_W_per_K +
                1.0 / p.insulation.outer_casing_W_per_K + 1.0 / p.insulation.casing_room_W_per_K);
}

double fan_W(const plant::Parameters& p, double gas_degC) {
  return p.fan.shaft_power_W * plant::to_K(ambient_degC) / plant::to_K(gas_degC);
}

double process_gas_W_per_K(const plant::Parameters& p) {
  // Molar heat at constant pressure: 7/2 R of nitrogen, 5/2 R of argon (ideal gas).
  const double cp = (p.supply.gas == plant::Gas::nitrogen ? 3.5 : 2.5) * plant::gas_constant;
  return p.supply.process_L_per_min * plant::mol_per_s_in_L_per_min * cp;
}

double ramp_power_W(const plant::Parameters& p, double rate_K_per_min, double to_degC) {
  return heated_capacity_J_per_K(p) * rate_K_per_min / 60.0 +
         (loss_W_per_K(p) + process_gas_W_per_K(p)) * (to_degC - ambient_degC) -
         fan_W(p, to_degC > ambient_degC ? to_degC : ambient_degC);
}

double sweep_L_per_min(const plant::Parameters& p) {
  return p.blanket.pressure_Pa ? p.blanket.sweep_L_per_min : 0.0;
}

}  // namespace ovenproof::machine
