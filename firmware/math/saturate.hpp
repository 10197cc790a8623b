#pragma once
#include <cstdint>
#include <limits>

#include "firmware/math/units.hpp"

/// Arithmetic that stops at a bound instead of wrapping or running away.
namespace ovenproof::math {

/// x limited to [low, high]; NaN gives low, so that nothing downstream ever sees one.
constexpr float clamp(float x, float low, float high) {
  if (x > high) return high;
  return x > low ? x : low;
}

/// a + b, stopping at the largest Milliseconds: a timer that has run out stays run out.
constexpr Milliseconds saturating_add(Milliseconds a, Milliseconds b) {
  constexpr std::uint32_t most = std::numeric_limits<std::uint32_t>::max();
  return Milliseconds(b.value > most - a.value ? most : a.value + b.value);
}

/// Magnitude of x.
constexpr float absolute(float x) { return x < 0.0F ? -x : x; }

}  // namespace ovenproof::math
