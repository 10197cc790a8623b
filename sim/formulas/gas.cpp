#include "sim/formulas/gas.hpp"

#include <algorithm>

#include "sim/plant/constants.hpp"
#include "sim/plant/portable_math.hpp"

namespace ovenproof::formulas {

using plant::celsius_zero_K;
using plant::to_K;
namespace portable = plant::portable;

double mixing_factor(double bypass) { return 1.0 / (1.0 - bypass); }

double at_zero_degC(double volume, double degC) { return volume * celsius_zero_K / to_K(degC); }

double oxygen_floor_ppm(double supply_ppm, double flow, double ingress) {
  const double sum = flow + ingress;
  return sum > 0.0 ? (supply_ppm * flow + dry_air_ppm * ingress) / sum : dry_air_ppm;
}

std::optional<double> volume_changes(double start_ppm, double target_ppm, double floor_ppm) {
  if (target_ppm >= start_ppm) return 0.0;
  if (floor_ppm >= target_ppm) return std::nullopt;
  return portable::log((start_ppm - floor_ppm) / (target_ppm - floor_ppm));
}

double oxygen_after_ppm(double start_ppm, double floor_ppm, double volumes) {
  return floor_ppm + (start_ppm - floor_ppm) * portable::exp(-volumes);
}

std::optional<double> flow_to_hold(double level_ppm, double supply_ppm, double ingress) {
  if (level_ppm <= supply_ppm) return std::nullopt;
  return ingress * std::max(0.0, dry_air_ppm - level_ppm) / (level_ppm - supply_ppm);
}

double ingress_from_floor(double floor_ppm, double supply_ppm, double flow) {
  return flow * (floor_ppm - supply_ppm) / (dry_air_ppm - floor_ppm);
}

double contraction_L_per_min(double volume_L, double degC, double fall_K_per_min) {
  return volume_L * celsius_zero_K / (to_K(degC) * to_K(degC)) * fall_K_per_min;
}

double peak_contraction_L_per_min(double volume_L, double from_degC, double to_degC,
                                  double end_degC, double tau_min) {
  const double steepest_degC = plant::to_degC(2.0 * to_K(end_degC));
  const double degC = std::clamp(steepest_degC, std::min(from_degC, to_degC), from_degC);
  return contraction_L_per_min(volume_L, degC, (degC - end_degC) / tau_min);
}

double cylinder_content_L(double volume_L, double full_bar, double left_bar, double degC) {
  constexpr double atmosphere_bar = plant::atmosphere_Pa / 1e5;
  return at_zero_degC(volume_L * std::max(0.0, full_bar - left_bar) / atmosphere_bar, degC);
}

}  // namespace ovenproof::formulas
