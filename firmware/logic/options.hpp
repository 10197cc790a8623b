#pragma once
#include <cstdint>

namespace ovenproof::logic {

/// What the ordered machine has, as far as it changes the logic. Constant while power is on.
struct Options {
  bool oxygen_monitor = true;  ///< without: the gate is proven flow and volume changes alone
  bool jacket_cooling = true;
  bool start_by_door = false;     ///< closing the door starts a cycle when that was armed
  std::uint8_t max_repurges = 2;  ///< re-purges in one cycle, 0..3; one more trips

  friend constexpr bool operator==(const Options&, const Options&) = default;
};

}  // namespace ovenproof::logic
