#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/sizing/figure.hpp"

/// What an oven will do, by published formulas, and beside it what the simulated oven does.
namespace ovenproof::sizing {

/// A gas cylinder. What it holds counts as ideal gas.
struct Cylinder {
  double volume_L = 50.0;       ///< water capacity, 0.1..10000
  double pressure_bar = 200.0;  ///< full, gauge, 1..1000
  unsigned count = 1;           ///< connected at once, 1..1000
};

struct Options {
  Cylinder cylinder;
  /// The oxygen that the process flow should hold is the level to hold divided by this, 1..100.
  double margin = 1.25;
  bool simulate = true;  ///< false: formulas alone
  unsigned jobs = 1;     ///< threads; results do not depend on it
};

/// For the figures of the formulas alone, with all else by default.
inline Options formulas_alone() {
  Options options;
  options.simulate = false;
  return options;
}

/// A point of a curve.
struct Point {
  double s = 0.0;  ///< since the start of the cycle
  double value = 0.0;
};

/// Something against time, predicted and simulated, each thinned to at most `most_points` without
/// losing its shape.
struct Curve {
  static constexpr std::size_t most_points = 300;
  std::string_view id;    ///< "oxygen", "temperature"
  std::string_view what;  ///< in words
  std::string_view unit;  ///< "ppm", "degC"
  bool log_axis = false;
  std::vector<Point> predicted;
  std::vector<Point> simulated;  ///< empty if nothing was simulated
};

/// Lowest oxygen that can be reached, by flow and air ingress.
struct FloorTable {
  std::vector<double> flows_L_per_min;
  std::vector<double> ingress_L_per_min;
  std::vector<std::vector<double>> ppm;  ///< [flow][ingress]
  double level_ppm = 0.0;                ///< the level to hold: what is above it cannot be held
};

struct Sizing {
  std::vector<Figure> figures;
  FloorTable floors;
  std::vector<Curve> curves;
  std::vector<std::string> cautions;  ///< about this machine
  /// What kept the simulated cycle from its end, or the hazards it met; empty if nothing did.
  std::string cycle_problem;

  /// The simulated cycle went well. What a formula says otherwise is a remark.
  [[nodiscard]] bool holds() const;
};

/// The figures of a machine without contradictions. Figures of parts it does not have are absent.
/// Same machine and options, same result, whatever the number of jobs. Throws
/// std::invalid_argument if the machine cannot be stepped.
Sizing size(const machine::Machine& machine, const Options& options);

/// The ids of all figures that any machine can have, in their order.
std::vector<std::string_view> all_figure_ids();

}  // namespace ovenproof::sizing
