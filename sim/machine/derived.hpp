#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/machine/quantity.hpp"

/// Figures that follow from a machine file by formula, without running a cycle. They are estimates
/// for orientation and to catch wrong files: the simulated run knows better, the oven best.
namespace ovenproof::machine {

/// Oxygen in dry air, ppm.
inline constexpr double dry_air_ppm = 209'500.0;

/// Least oxygen that a flow can hold against the stated air ingress, ppm:
/// supply + 0.2095 x ingress / flow, exact for ingress + flow in the divisor.
double oxygen_floor_ppm(const plant::Parameters& plant, double flow_L_per_min);

/// Chamber volume changes until stirred dilution from air reaches `target_ppm`:
/// N = K ln((c_air - c_floor) / (c_target - c_floor)), where K = 1 / (1 - bypass) is the mixing
/// factor with the fan at full speed. Empty if the floor is not below the target.
std::optional<double> volume_changes_to(const plant::Parameters& plant, double target_ppm);

/// Heat capacity of what follows the programme: elements, gas-side sheet, wall, load, rack, and
/// half of the inner insulation layer, J/K.
double heated_capacity_J_per_K(const plant::Parameters& plant);

/// Wall to room through the insulation: the layers' conductances in series, W/K.
double loss_W_per_K(const plant::Parameters& plant);

/// Heater power that a ramp at `rate_K_per_min` needs on reaching `to_degC`, W:
/// C dT/dt + UA (T - 20 degC), less the fan's shaft power in hot gas.
double ramp_power_W(const plant::Parameters& plant, double rate_K_per_min, double to_degC);

/// One derived figure. `value` is in the base unit of the dimension.
struct Figure {
  std::string_view id;    ///< for JSON, with the unit: "purge_time_s"
  std::string_view what;  ///< in words
  double value;
  Dimension dimension;
  std::string_view unit;     ///< shown
  std::string_view formula;  ///< its name
};

/// Something that people must see beside the figures.
struct Caution {
  std::string text;
};

struct Derived {
  std::vector<Figure> figures;
  std::vector<Caution> cautions;
};

/// The figures of a machine without contradictions. Figures that an option rules out are absent.
Derived derive(const Machine& machine);

}  // namespace ovenproof::machine
