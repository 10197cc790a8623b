#pragma once
#include <cstdint>

#include "firmware/conditioning/reading.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

/// How a 4-20 mA transmitter maps oxygen to current.
enum class LoopScale : std::uint8_t {
  linear,       ///< ppm linear in current
  logarithmic,  ///< logarithm of ppm linear in current; for several decades
};

struct CurrentLoopLimits {
  LoopScale scale = LoopScale::logarithmic;
  Ppm at_4_mA{1.0F};             ///< logarithmic: above 0
  Ppm at_20_mA{250'000.0F};      ///< above at_4_mA
  Milliseconds hold_time{4000};  ///< the last value stands this long while the current is undefined
};

/// What a loop current says, after NAMUR NE 43.
enum class LoopState : std::uint8_t {
  failure_low,     ///< <= 3.6 mA
  undefined_low,   ///< 3.6..3.8 mA
  measurement,     ///< 3.8..20.5 mA, both included: a little under and over range is still valid
  undefined_high,  ///< 20.5..21 mA
  failure_high,    ///< >= 21 mA
};

LoopState classify(Milliamps current);

/// Oxygen at `current` by `limits.scale`, 0..1,000,000 ppm.
Ppm scaled(Milliamps current, const CurrentLoopLimits& limits);

/// An oxygen transmitter on a 4-20 mA loop.
///
/// A failure current makes the reading invalid at once. An undefined current keeps the last valid
/// value for hold_time, then the reading is invalid; after a failure, or with no value yet, it is
/// not held at all: only a measurement makes the reading valid again.
class CurrentLoop {
 public:
  /// One conversion of hal::AnalogIn::oxygen_loop.
  const Reading<Ppm>& update(std::uint16_t count, Milliseconds elapsed,
                             const CurrentLoopLimits& limits);

  [[nodiscard]] const Reading<Ppm>& reading() const { return reading_; }

 private:
  Reading<Ppm> reading_;
  Milliseconds held_{0};
};

}  // namespace ovenproof::conditioning
