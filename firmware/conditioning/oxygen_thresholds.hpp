#pragma once
#include <cstdint>

#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct OxygenThresholdLimits {
  Ppm gate{100.0F};            ///< at or below: heat may start
  Ppm gate_hysteresis{10.0F};  ///< at_gate ends above gate + this
  Ppm hold{500.0F};            ///< above: heat must go off; greater than gate
  Ppm hold_hysteresis{50.0F};  ///< above_hold ends at or below hold - this
};

/// Oxygen against the gate and the hold limit.
///
/// at_gate() and above_hold() exclude each other by construction: one state holds both. That is
/// so for every input, wrong limits and invalid readings included, and may be assumed by anyone
/// who reasons about the facts. Should the limits contradict each other (gate not below hold),
/// above_hold wins.
class OxygenThresholds {
 public:
  /// One conversion. An invalid reading is at neither threshold: its validity must be asked apart.
  void update(const Reading<Ppm>& oxygen, const OxygenThresholdLimits& limits);

  [[nodiscard]] constexpr bool at_gate() const { return level_ == Level::at_gate; }
  [[nodiscard]] constexpr bool above_hold() const { return level_ == Level::above_hold; }

 private:
  enum class Level : std::uint8_t { between, at_gate, above_hold };
  Level level_ = Level::between;
};

}  // namespace ovenproof::conditioning
