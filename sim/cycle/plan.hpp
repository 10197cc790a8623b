#pragma once
#include <cstdint>
#include <optional>

#include "firmware/logic/phase.hpp"

namespace ovenproof::cycle {

/// What the attendant does in one run.
struct Plan {
  std::uint32_t cycles = 2;
  std::uint32_t loading_s = 300;  ///< time the door stands open to load or unload
  /// Opens the door some time into this phase of the first cycle, closes it, and watches.
  std::optional<logic::Phase> open_door_in;
  std::uint32_t open_after_s = 30;  ///< time into that phase
  std::uint32_t watch_s = 600;      ///< time to watch the closed oven afterwards
};

}  // namespace ovenproof::cycle
