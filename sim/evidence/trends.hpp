#pragma once
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "sim/rig/probes.hpp"
#include "sim/rig/rig.hpp"

/// A run as charts need it: numbers at intervals, and each change of what is on, off or a state.
namespace ovenproof::evidence {

/// One quantity over time.
struct Trend {
  std::string probe;        ///< "plant.gas"
  std::string unit;         ///< "degC"
  std::string description;  ///< "circulating gas"
  std::vector<double> values;
};

/// A change of an output or a state.
struct Change {
  std::uint64_t ms = 0;
  std::uint8_t value = 0;  ///< 0 or 1, or the index of a label
};

/// What is on, off or in a state, over time.
struct Band {
  std::string probe;
  std::string description;
  std::vector<std::string> labels;  ///< of a state; empty: off and on
  std::vector<Change> changes;      ///< the first is the value at the beginning
};

struct Trends {
  std::uint32_t every_ms = 0;     ///< interval of the numbers
  std::vector<std::uint64_t> ms;  ///< time of each number
  std::vector<Trend> trends;
  std::vector<Band> bands;
};

/// Records a run. Changes are exact to the scan; numbers are taken every second, and thinned to a
/// coarser round interval when there are too many to draw.
class TrendRecorder {
 public:
  /// \param most_rows numbers kept of each trend, at most
  explicit TrendRecorder(std::size_t most_rows = 4000);

  /// After each scan.
  void observe(const rig::Rig& rig);
  [[nodiscard]] Trends finish() &&;

 private:
  std::size_t most_rows_;
  std::vector<std::size_t> number_at_;  ///< indices in rig::probes()
  std::vector<std::size_t> band_at_;
  rig::ProbeReader numbers_;
  rig::ProbeReader bands_;
  std::vector<double> row_;
  Trends trends_;
};

}  // namespace ovenproof::evidence
