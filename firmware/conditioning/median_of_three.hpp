#pragma once
#include <algorithm>
#include <array>
#include <cstdint>

namespace ovenproof::conditioning {

/// The median of the last three counts of a channel: one bad conversion alone, however far off,
/// never shows and costs no cycle; what lasts shows one conversion later.
class MedianOfThree {
 public:
  /// One conversion. The first two give the count itself: there is nothing to compare it with.
  constexpr std::uint16_t update(std::uint16_t count) {
    before_last_ = last_;
    last_ = newest_;
    newest_ = count;
    if (seen_ < 3) ++seen_;
    if (seen_ < 3) return count;
    return std::max(std::min(before_last_, last_),
                    std::min(std::max(before_last_, last_), newest_));
  }

 private:
  std::uint16_t before_last_ = 0;
  std::uint16_t last_ = 0;
  std::uint16_t newest_ = 0;
  std::uint8_t seen_ = 0;
};

}  // namespace ovenproof::conditioning
