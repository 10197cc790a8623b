#pragma once
#include <cstdint>
#include <initializer_list>

#include "hal-mock/board.hpp"

/// Boards and fields that the tests start from.
namespace ovenproof::mock::test {

using hal::AnalogIn;
using hal::DigitalIn;
using hal::DigitalOut;

/// Every ms shows in the images, and the watchdog is out of the way.
inline constexpr BoardOptions immediate{
    .conversion_period_ms = 1, .input_filter_ms = 0, .watchdog_timeout_ms = 60'000};

/// A field with every analogue signal in the middle of its span, and these contacts closed.
inline FieldInputs plain_field(std::initializer_list<DigitalIn> closed = {}) {
  FieldInputs field;
  field.analog = {20.0, 21.0, 110.0, 100.0, 29.0, 12.0};
  for (const DigitalIn p : closed) field.set(p, true);
  return field;
}

inline Board powered(const BoardOptions& options = {}, const FieldInputs& field = plain_field()) {
  Board board(options);
  board.present(field);
  board.power_on();
  return board;
}

inline hal::OutputImage energise(std::initializer_list<DigitalOut> coils,
                                 std::uint16_t heater_permille = 0) {
  hal::OutputImage image;
  for (const DigitalOut p : coils) image.set(p, true);
  image.heater_permille = heater_permille;
  return image;
}

}  // namespace ovenproof::mock::test
