#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>

#include "firmware/hal/points.hpp"

/// What lies at the far ends of the wires: contacts and sensors, coils and the heater.
namespace ovenproof::mock {

/// An open circuit inside a thermocouple, cell or Pt100, as a value of its signal.
inline constexpr double open_circuit = std::numeric_limits<double>::infinity();

/// What the field presents to the wiring. Value-initialised: all contacts open, all signals 0.
struct FieldInputs {
  std::uint32_t contacts = 0;  ///< bit n: the contact of hal::DigitalIn n is closed
  /// Physical value of each hal::AnalogIn in the unit named there; `open_circuit` where the sensor
  /// itself is broken. A current loop without current is 0.
  std::array<double, hal::analog_in_count> analog{};

  [[nodiscard]] constexpr bool closed(hal::DigitalIn point) const {
    return (contacts >> static_cast<unsigned>(point) & 1U) != 0;
  }
  constexpr void set(hal::DigitalIn point, bool is_closed) {
    const std::uint32_t bit = 1U << static_cast<unsigned>(point);
    contacts = is_closed ? contacts | bit : contacts & ~bit;
  }
  [[nodiscard]] constexpr double value(hal::AnalogIn point) const {
    return analog[static_cast<std::size_t>(point)];
  }
  constexpr void set(hal::AnalogIn point, double value) {
    analog[static_cast<std::size_t>(point)] = value;
  }
  friend constexpr bool operator==(const FieldInputs&, const FieldInputs&) = default;
};

/// What reaches the field from the board. Value-initialised: nothing is driven.
struct FieldOutputs {
  std::uint32_t coils = 0;       ///< bit n: the coil of hal::DigitalOut n is energised
  double heater_permille = 0.0;  ///< heater drive, 0..1000

  [[nodiscard]] constexpr bool energised(hal::DigitalOut point) const {
    return (coils >> static_cast<unsigned>(point) & 1U) != 0;
  }
  friend constexpr bool operator==(const FieldOutputs&, const FieldOutputs&) = default;
};

}  // namespace ovenproof::mock
