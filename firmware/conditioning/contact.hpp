#pragma once
#include "firmware/math/saturate.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

/// How long a contact must stand still before the change counts. Zero: at the first sample.
struct DebounceLimits {
  Milliseconds on_time{20};  ///< energised for this long before it reads on, 0..10,000 ms
  Milliseconds off_time{0};  ///< de-energised for this long before it reads off, 0..10,000 ms
};

/// One debounced contact. Off (the unsafe side of every safety contact) until it has been seen
/// energised for on_time.
class Contact {
 public:
  /// One sample, `elapsed` after the one before. Returns on().
  constexpr bool update(bool energised, Milliseconds elapsed, const DebounceLimits& limits) {
    if (energised == on_) {
      changing_ = false;
      return on_;
    }
    // The time before the first differing sample does not count: when it changed is not known.
    differing_ = changing_ ? math::saturating_add(differing_, elapsed) : Milliseconds(0);
    changing_ = true;
    if (differing_ >= (energised ? limits.on_time : limits.off_time)) {
      on_ = energised;
      changing_ = false;
    }
    return on_;
  }

  [[nodiscard]] constexpr bool on() const { return on_; }
  /// A change has been seen and not yet counted.
  [[nodiscard]] constexpr bool changing() const { return changing_; }

 private:
  Milliseconds differing_{0};
  bool on_ = false;
  bool changing_ = false;
};

}  // namespace ovenproof::conditioning
