#pragma once
#include <cstdint>

#include "firmware/logic/causes.hpp"
#include "firmware/logic/outputs.hpp"

namespace ovenproof::logic {

/// A command by a contact: only its going on counts, not that it is on. It must have been seen off
/// since forget() before it can be seen to go on, so a button held down is not a press.
class Edge {
 public:
  constexpr Edge() = default;
  /// The inverse of off_seen().
  static constexpr Edge of(bool off_seen) { return Edge(off_seen); }

  /// Feeds one level; true in the scan in which it goes on.
  constexpr bool rises(bool level) {
    const bool rose = level && off_seen_;
    off_seen_ = !level;
    return rose;
  }
  constexpr void forget() { off_seen_ = false; }
  [[nodiscard]] constexpr bool off_seen() const { return off_seen_; }

  friend constexpr bool operator==(const Edge&, const Edge&) = default;

 private:
  constexpr explicit Edge(bool off_seen) : off_seen_(off_seen) {}

  bool off_seen_ = false;
};

/// What the logic remembers from scan to scan beside the states of its machine. A fresh one is
/// that of power-up.
struct Memory {
  Edge start;  ///< watched in standby only
  Edge reset;  ///< watched when tripped only
  Edge door;   ///< "proven closed", watched in standby while armed

  bool armed = false;           ///< the last cycle ended normally and the door was then opened
  bool ended_normally = false;  ///< the running cycle completed its programme
  bool gate_met = false;        ///< purged, and the gas not lost since
  bool blanket = false;         ///< hot and inert: keep process flow on if the cycle breaks off
  std::uint8_t repurges = 0;    ///< in this cycle, 0..3

  Cause first_out = Cause::power_up;     ///< the cause that came first; none: not tripped
  OutputSet latched = OutputSet::all();  ///< withheld by trips until reset
  OutputSet energised;                   ///< outputs of the last scan
  OutputSet withheld;                    ///< demanded in the last scan, and not permitted

  friend constexpr bool operator==(const Memory&, const Memory&) = default;
};

}  // namespace ovenproof::logic
