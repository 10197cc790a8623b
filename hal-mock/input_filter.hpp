#pragma once
#include <array>
#include <bit>
#include <cstdint>

#include "firmware/hal/points.hpp"

namespace ovenproof::mock {

/// The delay of each 24 V input (IEC 61131-2 leaves its length to the maker): the image follows
/// the terminal once that has differed from it for `filter_ms` on end, so shorter pulses vanish.
class InputFilter {
 public:
  /// \param filter_ms 0 or 1: the image follows within the ms
  constexpr explicit InputFilter(std::uint32_t filter_ms) : filter_ms_(filter_ms) {}

  /// The terminals `mask` were at `levels` for `ms` on end. Bits outside `mask` are left alone.
  constexpr void advance(std::uint32_t levels, std::uint32_t mask, std::uint32_t ms) {
    if (((levels ^ image_) & mask) == 0 && (pending_ & mask) == 0) return;
    const std::uint32_t differs = (levels ^ image_) & mask;
    for (std::uint32_t back = pending_ & mask & ~differs; back != 0; back &= back - 1) {
      differing_ms_[index(back)] = 0;
    }
    pending_ &= ~(mask & ~differs);
    for (std::uint32_t left = differs; left != 0; left &= left - 1) {
      const std::uint32_t bit = left & -left;
      std::uint64_t& held = differing_ms_[index(left)];
      held += ms;
      if (held >= filter_ms_) {
        image_ ^= bit;
        pending_ &= ~bit;
        held = 0;
      } else {
        pending_ |= bit;
      }
    }
  }
  /// The image takes on the terminals at once, as after a long wait.
  constexpr void settle(std::uint32_t levels) {
    image_ = levels;
    pending_ = 0;
    differing_ms_ = {};
  }
  [[nodiscard]] constexpr std::uint32_t image() const { return image_; }

  friend constexpr bool operator==(const InputFilter&, const InputFilter&) = default;

 private:
  static constexpr std::size_t index(std::uint32_t bits) {
    return static_cast<std::size_t>(std::countr_zero(bits));
  }

  std::uint32_t filter_ms_;
  std::uint32_t image_ = 0;
  std::uint32_t pending_ = 0;  ///< bits that differ but not yet for long enough
  std::array<std::uint64_t, hal::digital_in_count> differing_ms_{};
};

}  // namespace ovenproof::mock
