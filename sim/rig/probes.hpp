#pragma once
#include <span>
#include <string_view>
#include <vector>

#include "sim/rig/rig.hpp"

/// Everything of a rig that can be recorded or spoken of, by name and unit: plant truth, board
/// signals, facts, commands and states.
namespace ovenproof::rig {

enum class ProbeKind : std::uint8_t { boolean, number, state };

/// One named quantity of a rig.
struct Probe {
  std::string_view name;  ///< "plant.gas", "board.k1", "fact.door_closed", "phase" ...
  ProbeKind kind = ProbeKind::number;
  std::string_view unit;                     ///< of a number; "1" for a share
  std::span<const std::string_view> labels;  ///< of a state
  std::string_view description;
  /// Booleans give 0 or 1, states the index of their label. Without power, what only the
  /// controller knows reads 0.
  double (*read)(const Rig&);
  /// The same from the plant's truth alone; null if it takes more than that.
  double (*from_truth)(const plant::Truth&) = nullptr;
};

/// All probes, in a fixed order.
const std::vector<Probe>& probes();

/// The probe of that name; null if there is none.
const Probe* find_probe(std::string_view name);

/// Reads all probes into a row of their number.
void read_all(const Rig& rig, std::span<double> row);

/// Reads some of the probes, and works out the plant's truth once for all of them.
class ProbeReader {
 public:
  /// `chosen`: indices in `probes()`; those given twice are read once.
  explicit ProbeReader(std::vector<std::size_t> chosen);

  /// Writes the chosen probes at their indices in `row`, which has a place for every probe.
  void read(const Rig& rig, std::span<double> row) const;

 private:
  std::vector<std::size_t> truths_;
  std::vector<std::size_t> others_;
};

}  // namespace ovenproof::rig
