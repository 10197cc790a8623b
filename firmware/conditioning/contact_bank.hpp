#pragma once
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

#include "firmware/conditioning/contact.hpp"
#include "firmware/hal/points.hpp"

namespace ovenproof::conditioning {

/// Debounce of every contact input, in the order of hal::DigitalIn.
using ContactBankLimits = std::array<DebounceLimits, hal::digital_in_count>;

/// All contact inputs, debounced. A scan in which nothing changes costs one comparison.
class ContactBank {
 public:
  /// One scan. `contacts`: InputImage::contacts.
  constexpr void update(std::uint32_t contacts, Milliseconds elapsed,
                        const ContactBankLimits& limits) {
    constexpr std::uint32_t all = (1U << hal::digital_in_count) - 1U;
    std::uint32_t todo = ((contacts ^ on_) | changing_) & all;
    while (todo != 0) {
      const auto point = static_cast<std::size_t>(std::countr_zero(todo));
      const std::uint32_t bit = 1U << point;
      todo &= ~bit;
      Contact& contact = contacts_[point];
      contact.update((contacts & bit) != 0, elapsed, limits[point]);
      on_ = contact.on() ? on_ | bit : on_ & ~bit;
      changing_ = contact.changing() ? changing_ | bit : changing_ & ~bit;
    }
  }

  [[nodiscard]] constexpr bool on(hal::DigitalIn point) const {
    return (on_ >> static_cast<unsigned>(point) & 1U) != 0;
  }

 private:
  std::array<Contact, hal::digital_in_count> contacts_{};
  std::uint32_t on_ = 0;
  std::uint32_t changing_ = 0;
};

}  // namespace ovenproof::conditioning
