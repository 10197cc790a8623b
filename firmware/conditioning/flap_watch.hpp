#pragma once
#include <cstdint>

#include "firmware/math/saturate.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

struct FlapLimits {
  std::uint32_t losses = 5;       ///< a proof may be lost this often
  Milliseconds window{600'000};   ///< within this time
  Milliseconds least_off{1'000};  ///< once lost, it counts as off for at least this long
};

/// A proof that comes and goes is none: it is a switch at its set point, a loose wire, or a part
/// that is failing. What depends on it would be switched off and on for ever. So a lost proof
/// counts as off for a while, which is the least time that contactors stay off, and one that is
/// lost too often counts no more.
class FlapWatch {
 public:
  /// One scan of the debounced contact.
  constexpr void update(bool on, Milliseconds elapsed, const FlapLimits& limits) {
    const bool lost = was_on_ && !on;
    was_on_ = on;
    if (lost) {
      owed_ = limits.least_off;
    } else if (owed_ > Milliseconds(0)) {
      owed_ = elapsed < owed_ ? owed_ - elapsed : Milliseconds(0);
    }
    if (losses_ == 0 && !lost) return;
    age_ = math::saturating_add(age_, elapsed);
    if (age_ > limits.window) {
      losses_ = 0;
      age_ = Milliseconds(0);
    }
    if (!lost) return;
    if (losses_ <= limits.losses) ++losses_;
    flapping_ = flapping_ || losses_ > limits.losses;
  }
  constexpr void acknowledge() { *this = {}; }

  /// The proof was lost more often than allowed within a window that began with a loss; stays until
  /// acknowledge().
  [[nodiscard]] constexpr bool flapping() const { return flapping_; }
  /// The proof, if it is there, counts: it has been lost for long enough, and does not flap.
  [[nodiscard]] constexpr bool steady() const { return owed_ == Milliseconds(0) && !flapping_; }

 private:
  Milliseconds age_{0};  ///< since the first loss that counts
  std::uint32_t losses_ = 0;
  Milliseconds owed_{0};  ///< of least_off, since the last loss
  bool was_on_ = false;
  bool flapping_ = false;
};

}  // namespace ovenproof::conditioning
