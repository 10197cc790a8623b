#include "sim/formulas/heat.hpp"

#include "sim/plant/portable_math.hpp"

namespace ovenproof::formulas {

namespace portable = plant::portable;

std::optional<double> cooling_s(double capacity, double conductance, double from_K, double to_K) {
  if (from_K <= to_K) return 0.0;
  if (to_K <= 0.0 || conductance <= 0.0) return std::nullopt;
  return capacity / conductance * portable::log(from_K / to_K);
}

std::optional<double> heating_s(double capacity, double conductance, double power_W, double from_K,
                                double to_K) {
  if (to_K <= from_K) return 0.0;
  const double spare_W = power_W - conductance * to_K;
  if (spare_W <= 0.0) return std::nullopt;
  if (conductance * (to_K - from_K) < 1e-9 * spare_W) return capacity * (to_K - from_K) / spare_W;
  return capacity / conductance * portable::log((power_W - conductance * from_K) / spare_W);
}

double effectiveness(double ua_W_per_K, double capacity_W_per_K) {
  return capacity_W_per_K > 0.0 ? 1.0 - portable::exp(-ua_W_per_K / capacity_W_per_K) : 0.0;
}

std::optional<double> lag_behind_s(double tau_s, double lag_s) {
  if (lag_s >= tau_s) return std::nullopt;
  return -tau_s * portable::log(1.0 - lag_s / tau_s);
}

}  // namespace ovenproof::formulas
