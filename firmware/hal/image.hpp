#pragma once
#include <array>
#include <cstdint>

#include "firmware/hal/points.hpp"

/// The process images: what a scan reads at its start and writes at its end, all at once.
namespace ovenproof::hal {

/// One consistent snapshot of all inputs.
struct InputImage {
  std::uint32_t contacts = 0;  ///< bit n: DigitalIn n is energised
  std::array<std::uint16_t, analog_in_count> counts{};
  /// Increments each time the converter has finished all channels; a number that stands still
  /// tells that the counts are stale.
  std::uint16_t conversion = 0;

  [[nodiscard]] constexpr bool energised(DigitalIn point) const {
    return (contacts >> static_cast<unsigned>(point) & 1U) != 0;
  }
  constexpr void set(DigitalIn point, bool on) {
    const std::uint32_t bit = 1U << static_cast<unsigned>(point);
    contacts = on ? contacts | bit : contacts & ~bit;
  }
  [[nodiscard]] constexpr std::uint16_t count(AnalogIn point) const {
    return counts[static_cast<std::size_t>(point)];
  }
  friend constexpr bool operator==(const InputImage&, const InputImage&) = default;
};

/// All outputs. Value-initialised it is the safe state: everything de-energised.
struct OutputImage {
  std::uint32_t coils = 0;            ///< bit n: DigitalOut n is energised
  std::uint16_t heater_permille = 0;  ///< heater drive, 0..1000

  [[nodiscard]] constexpr bool energised(DigitalOut point) const {
    return (coils >> static_cast<unsigned>(point) & 1U) != 0;
  }
  constexpr void set(DigitalOut point, bool on) {
    const std::uint32_t bit = 1U << static_cast<unsigned>(point);
    coils = on ? coils | bit : coils & ~bit;
  }
  friend constexpr bool operator==(const OutputImage&, const OutputImage&) = default;
};

}  // namespace ovenproof::hal
