#pragma once
#include <cstddef>
#include <functional>
#include <string>
#include <variant>
#include <vector>

#include "sim/machine/error.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/yaml_tree.hpp"
#include "sim/sizing/size.hpp"

/// The figures of a machine over a range of one or two of its settings.
namespace ovenproof::sizing {

inline constexpr std::size_t most_sweep_axes = 2;
inline constexpr std::size_t most_sweep_points = 400;
inline constexpr std::size_t usual_sweep_steps = 5;

/// One setting and the values it takes.
struct SweepAxis {
  std::string path;  ///< as in the machine file: "programme.segments[1].target"
  const machine::Key* key = nullptr;
  std::vector<double> values;  ///< in the base unit of the key's dimension

  /// A value as a machine file would have it.
  [[nodiscard]] std::string text(std::size_t i) const;
};

/// Reads `KEY=A..B` or `KEY=A..B/N`, N values from A to B. A and B are written as in a machine
/// file; a unit after B counts for A too. All mistakes of all arguments are told at once.
std::variant<std::vector<SweepAxis>, std::vector<std::string>> read_sweeps(
    const std::vector<std::string>& arguments);

/// One combination of values.
struct SweepPoint {
  std::vector<std::size_t> at;  ///< of each axis, which value
  machine::Machine machine;
};

/// The machine with each combination of values, the last axis running quickest, or everything that
/// is wrong with any of them. What is wrong with a value is said to be in the sweep.
std::variant<std::vector<SweepPoint>, std::vector<machine::Error>> sweep_points(
    const machine::Tree& tree, const std::string& file, const std::vector<SweepAxis>& axes);

/// The figures of all points, `options.jobs` points at once; the same for any number of them.
/// Throws std::invalid_argument if a machine cannot be stepped.
/// `finished` is called with the number of points done, one call at a time.
std::vector<Sizing> size_all(const std::vector<SweepPoint>& points, const Options& options,
                             const std::function<void(std::size_t done)>& finished = {});

}  // namespace ovenproof::sizing
