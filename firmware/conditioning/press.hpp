#pragma once
#include "firmware/math/saturate.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

/// Whoever holds a button longer leans on it, or it sticks: our own choice, no source.
inline constexpr Milliseconds longest_press{5'000};

/// A command by a button is given when the button is let go, in the manner of ISO 13849-1, 5.2.2,
/// for a reset: then a contact that fails closed gives none, nor does one that was closed at
/// power-up, nor one that sticks and comes free much later.
class Press {
 public:
  /// One sample of the debounced contact, `elapsed` after the one before.
  constexpr void update(bool down, Milliseconds elapsed) {
    given_ = !down && held_ > Milliseconds(0) && held_ <= longest_press;
    held_ = down ? math::saturating_add(held_, elapsed) : Milliseconds(0);
  }
  /// The press ended with this sample.
  [[nodiscard]] constexpr bool given() const { return given_; }

 private:
  Milliseconds held_ = longest_press + Milliseconds(1);  ///< until it has been seen up: too long
  bool given_ = false;
};

}  // namespace ovenproof::conditioning
