#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "sim/plant/constants.hpp"
#include "sim/plant/parameters.hpp"
#include "sim/plant/portable_math.hpp"

/// Air through the cooling jacket: what blowers and the chimney's draught push past the damper,
/// and the heat it takes from the wall.
namespace ovenproof::plant {

namespace detail {
/// Loss coefficient of a thin round butterfly disc at 0, 10 .. 80 degrees of closure (D/Do = 1,
/// from memory: ASHRAE Duct Fitting Database, CR9-1: check against the source).
inline constexpr std::array<double, 9> damper_loss{0.19, 0.67,  1.76,  4.38,   11.2,
                                                   32.0, 113.0, 619.0, 10350.0};
inline constexpr auto log_damper_loss = [] {
  std::array<double, damper_loss.size()> table{};
  for (std::size_t i = 0; i < table.size(); ++i) table[i] = portable::log(damper_loss[i]);
  return table;
}();
}  // namespace detail

/// Effective open area of the damper as a share of what a loss coefficient of 1 would pass
/// (zeta^-1/2), 0 when shut. log zeta is linear in the angle between table points; the last ten
/// degrees close to nothing linearly.
inline double damper_area(double opening) {
  const double angle = 9.0 * (1.0 - std::clamp(opening, 0.0, 1.0));  // in steps of 10 degrees
  if (angle >= 8.0) return (9.0 - angle) * portable::exp(-0.5 * detail::log_damper_loss[8]);
  const auto i = static_cast<std::size_t>(angle);
  const double share = angle - static_cast<double>(i);
  const double log_zeta = detail::log_damper_loss[i] +
                          share * (detail::log_damper_loss[i + 1] - detail::log_damper_loss[i]);
  return portable::exp(-0.5 * log_zeta);
}

/// Airflow through the jacket and its conductance wall to incoming air.
struct JacketFlow {
  double kg_per_s = 0.0;
  double W_per_K = 0.0;
};

/// Airflow from the pressure balance  p_blower s^2 + rho g H (1 - T_a/T_w)  =  (zeta_damper +
/// zeta_duct) rho v^2/2, scaled from the nominal point; heat from effectiveness
/// 1 - exp(-UA / m cp) with UA ~ m^0.8 (Dittus-Boelter).
inline JacketFlow jacket_flow(const CoolingParameters& p, double blower_speed,
                              double damper_opening, double wall_K, double ambient_K) {
  if (!p.fitted) return {};
  const double draught_Pa =
      air_density * gravity * p.chimney_height_m * std::max(0.0, 1.0 - ambient_K / wall_K);
  const double drive = blower_speed * blower_speed + draught_Pa / p.blower_pressure_Pa;
  const double area = damper_area(damper_opening) + p.closed_leakage_fraction;
  const double nominal_loss = detail::damper_loss[0] + p.duct_loss;
  const double share = std::sqrt(drive * nominal_loss / (1.0 / (area * area) + p.duct_loss));
  if (share < 1e-6) return {};
  const double kg_per_s = share * p.airflow_L_per_s * 1e-3 * air_density;
  const double capacity_W_per_K = kg_per_s * air_specific_heat;
  const double ua_W_per_K = p.ua_W_per_K * portable::pow(share, 0.8);
  return {kg_per_s, capacity_W_per_K * (1.0 - portable::exp(-ua_W_per_K / capacity_W_per_K))};
}

}  // namespace ovenproof::plant
