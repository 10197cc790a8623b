#pragma once
#include <cstdint>

#include "firmware/conditioning/contact.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct DoorLimits {
  std::uint8_t contacts = 2;     ///< 1 or 2 position switches on the door
  Milliseconds close_time{100};  ///< all closed for this long before the door is proven
  Milliseconds open_time{0};     ///< filter on opening; more than max_open_time has no effect
  Milliseconds discrepancy_time{1000};  ///< contacts may differ for this long
};

/// The door from its one or two position switches.
///
/// Opening is recognised at the first scan that sees a contact open (after at most max_open_time
/// where interference must be filtered); closing and lying fully open only when settled.
class Door {
 public:
  static constexpr Milliseconds max_open_time{20};

  /// One scan, raw contacts; `contact_2` is ignored on a door with one.
  constexpr void update(bool contact_1, bool contact_2, Milliseconds elapsed,
                        const DoorLimits& limits) {
    const bool two = limits.contacts >= 2;
    const bool all_closed = contact_1 && (!two || contact_2);
    const bool all_open = !contact_1 && (!two || !contact_2);
    const Milliseconds open_time =
        limits.open_time < max_open_time ? limits.open_time : max_open_time;
    closed_.update(all_closed, elapsed, {limits.close_time, open_time});
    open_.update(all_open, elapsed, {limits.close_time, Milliseconds(0)});
    if (fully_open()) doubted_ = false;
    // Agreement ends a discrepancy only when settled: a flickering contact must not restart the
    // time for ever.
    if (two && contact_1 != contact_2) {
      agreed_ = Milliseconds(0);
      differed_ = math::saturating_add(differed_, elapsed);
    } else {
      agreed_ = math::saturating_add(agreed_, elapsed);
      if (agreed_ >= limits.close_time) differed_ = Milliseconds(0);
    }
    disagree_ = differed_ > limits.discrepancy_time;
  }

  /// The oven may be unloaded: a single contact must be seen to open before it proves the door
  /// closed again, or it is defeated. Two contacts watch each other.
  constexpr void expect_opening(const DoorLimits& limits) { doubted_ = limits.contacts < 2; }

  /// All contacts have been closed for close_time and none has opened since.
  [[nodiscard]] constexpr bool proven_closed() const { return closed_.on() && !doubted_; }
  /// All contacts have been open for close_time. Never together with proven_closed().
  [[nodiscard]] constexpr bool fully_open() const { return open_.on() && !closed_.on(); }
  /// The contacts have differed for longer than discrepancy_time, and have not agreed for
  /// close_time since.
  [[nodiscard]] constexpr bool disagree() const { return disagree_; }

 private:
  Contact closed_;
  Contact open_;
  Milliseconds differed_{0};
  Milliseconds agreed_{0};
  bool disagree_ = false;
  bool doubted_ = false;
};

}  // namespace ovenproof::conditioning
