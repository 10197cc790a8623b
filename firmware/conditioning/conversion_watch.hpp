#pragma once
#include <cstdint>

#include "firmware/math/saturate.hpp"
#include "firmware/math/units.hpp"

namespace ovenproof::conditioning {

/// Tells when the converter has new counts, and when it stands still.
class ConversionWatch {
 public:
  /// One scan. True when the conversion number has changed since the scan before. The number of
  /// the very first scan only sets the start: what stands in the image then may be from before.
  constexpr bool update(std::uint16_t conversion, Milliseconds elapsed, Milliseconds stale_after) {
    since_ = math::saturating_add(since_, elapsed);
    const bool fresh = started_ && conversion != last_;
    started_ = true;
    last_ = conversion;
    if (fresh) {
      since_ = Milliseconds(0);
    }
    stale_ = since_ > stale_after;
    return fresh;
  }

  /// The number has not changed for longer than stale_after.
  [[nodiscard]] constexpr bool stale() const { return stale_; }

 private:
  Milliseconds since_{0};
  std::uint16_t last_ = 0;
  bool started_ = false;
  bool stale_ = false;
};

}  // namespace ovenproof::conditioning
