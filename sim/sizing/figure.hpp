#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/formulas/formula.hpp"

namespace ovenproof::sizing {

/// What a formula takes for granted, looked up on this machine.
struct Assumption {
  std::string text;   ///< in words: "gas is stirred: pockets even out faster than it is replaced"
  bool holds = true;  ///< on this machine, by the rule of thumb in `found`
  std::string found;  ///< what it was judged by, "8 s against 97 s"; empty if it is not judged
};

/// How far simulated may lie from predicted without a remark: |simulated - predicted| <=
/// relative x |simulated| + absolute.
struct Bound {
  double relative = 0.0;  ///< share
  double absolute = 0.0;  ///< in the figure's unit
};

enum class Verdict {
  not_compared,  ///< one of the two values is not there
  within,        ///< of the bound
  differs        ///< by more; `remark` gives the reason
};

/// "not compared", "within", "differs".
std::string_view name_of(Verdict verdict);

/// One figure of a machine: predicted by a formula, and measured on the simulated oven.
struct Figure {
  std::string_view id;     ///< stable, for files: "gate_time"
  std::string_view group;  ///< "purge", "gas", "heat", "cooling", "room", "door"
  std::string what;        ///< in words
  std::string_view unit;   ///< of all its values; empty for a plain number
  const formulas::Formula* formula = nullptr;  ///< never null
  std::vector<Assumption> assumptions;

  std::optional<double> predicted;
  std::string no_prediction;  ///< why there is none
  std::optional<double> simulated;
  std::string_view measured_on;  ///< what was simulated; empty if nothing
  std::string no_simulation;     ///< why there is no simulated value

  Bound bound;
  std::string remark;  ///< by how much formula and simulation differ, and why; empty unless they do

  /// (simulated - predicted) / |simulated|; empty unless both are there and the simulated is not 0.
  [[nodiscard]] std::optional<double> deviation() const;
  /// A formula is an estimate: that it differs is a remark and fails nothing.
  [[nodiscard]] Verdict verdict() const;
};

/// The figure with this id; nullptr if there is none.
const Figure* find_figure(const std::vector<Figure>& figures, std::string_view id);

}  // namespace ovenproof::sizing
