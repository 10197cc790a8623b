#pragma once
#include <optional>
#include <vector>

#include "sim/machine/machine.hpp"
#include "sim/sizing/figure.hpp"
#include "sim/sizing/predict.hpp"
#include "sim/sizing/trials.hpp"

namespace ovenproof::sizing {

/// What figures are made from.
struct Basis {
  const machine::Machine& machine;
  const Options& options;
  const Prediction& prediction;
  const Trials* trials;  ///< null: nothing was simulated
};

/// Puts figures together, group by group.
class FigureMaker {
 public:
  explicit FigureMaker(const Basis& basis) : basis_(basis) {}

  /// A new figure, to be filled in further at once. The reference holds until the next one.
  Figure& add(std::string_view group, std::string_view id, std::string what, std::string_view unit,
              const formulas::Formula& formula, std::optional<double> predicted, Bound bound);

  /// What was measured in a trial, times `factor`. `reached` tells why it may be absent.
  void measured(Figure& figure, std::string_view on, std::optional<double> value,
                double factor = 1.0, std::string_view absent = "it never occurred") const;
  /// The same in the cycle, where a value is absent because of what kept the cycle from its end.
  void measured_in_cycle(Figure& figure, std::optional<double> value, double factor = 1.0) const;

  /// All figures, each with its remark if formula and simulation differ.
  std::vector<Figure> take() &&;

 private:
  const Basis& basis_;
  std::vector<Figure> figures_;
};

void add_purge_figures(const Basis& basis, FigureMaker& maker);
void add_gas_figures(const Basis& basis, FigureMaker& maker);
void add_heat_figures(const Basis& basis, FigureMaker& maker);
void add_cooling_figures(const Basis& basis, FigureMaker& maker);
void add_room_figures(const Basis& basis, FigureMaker& maker);

}  // namespace ovenproof::sizing
