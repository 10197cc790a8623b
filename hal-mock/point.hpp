#pragma once
#include <array>
#include <cassert>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

#include "firmware/hal/points.hpp"

/// A board in software: process images over terminals, wiring, signal faults and a virtual clock.
namespace ovenproof::mock {

/// What kind of signal a point carries.
enum class PointClass : std::uint8_t { digital_in, analog_in, digital_out, heater };

/// Any one point of the board at which the wiring can fail: every `hal::DigitalIn`,
/// `hal::AnalogIn` and `hal::DigitalOut`, and the heater drive. Only real points can be made.
class Point {
 public:
  static constexpr std::size_t first_analog_in = hal::digital_in_count;
  static constexpr std::size_t first_digital_out = first_analog_in + hal::analog_in_count;
  static constexpr std::size_t heater_index = first_digital_out + hal::digital_out_count;
  static constexpr std::size_t count = heater_index + 1;

  // Implicit on purpose: a hal point is a point.
  constexpr Point(hal::DigitalIn p) : Point(static_cast<std::size_t>(p), 0, first_analog_in) {}
  constexpr Point(hal::AnalogIn p)
      : Point(static_cast<std::size_t>(p), first_analog_in, first_digital_out) {}
  constexpr Point(hal::DigitalOut p)
      : Point(static_cast<std::size_t>(p), first_digital_out, heater_index) {}

  /// The heater drive, permille of full power.
  static constexpr Point heater() { return Point(heater_index); }
  /// The point of a dense index, for going over all of them; nothing beyond `count`.
  static constexpr std::optional<Point> at(std::size_t index) {
    return index < count ? std::optional(Point(index)) : std::nullopt;
  }

  /// Dense number, 0..count-1, in the order inputs, analogue inputs, outputs, heater.
  [[nodiscard]] constexpr std::size_t index() const { return index_; }
  /// Number within its own class: the value of the hal enumerator; 0 for the heater.
  [[nodiscard]] constexpr std::size_t index_in_class() const {
    switch (point_class()) {
      case PointClass::digital_in:
        return index_;
      case PointClass::analog_in:
        return index_ - first_analog_in;
      case PointClass::digital_out:
        return index_ - first_digital_out;
      case PointClass::heater:
        break;
    }
    return 0;
  }
  [[nodiscard]] constexpr PointClass point_class() const {
    if (index_ < first_analog_in) return PointClass::digital_in;
    if (index_ < first_digital_out) return PointClass::analog_in;
    return index_ < heater_index ? PointClass::digital_out : PointClass::heater;
  }
  /// A contact or a coil: its signal is only 0 or 1.
  [[nodiscard]] constexpr bool is_binary() const {
    return point_class() == PointClass::digital_in || point_class() == PointClass::digital_out;
  }

  friend constexpr bool operator==(Point, Point) = default;

 private:
  constexpr explicit Point(std::size_t index) : index_(static_cast<std::uint8_t>(index)) {}

  /// \param n number within the class whose points are [first, end)
  constexpr Point(std::size_t n, std::size_t first, std::size_t end) : Point(first + n) {
    assert(n < end - first && "not a point");
  }

  std::uint8_t index_;
};

/// The name of each point in scenario and machine files, in index order: the hal enumerators, and
/// "heater".
// clang-format off
inline constexpr std::array<std::string_view, Point::count> point_names{
    "door_closed_1", "door_closed_2", "start_button", "stop_button", "reset_button",
    "estop_healthy", "limiter_healthy", "gas_supply_ok", "purge_flow", "process_flow",
    "fan_running", "k1_open", "k2_open", "damper_open", "damper_closed", "blower_running",
    "te_a", "te_b", "cold_junction", "oxygen_cell", "oxygen_cell_tc", "oxygen_loop",
    "k1", "k2", "fan", "purge_valve", "process_valve", "damper", "blower", "run_lamp",
    "fault_lamp", "horn",
    "heater"};
// clang-format on

constexpr std::string_view name(Point point) { return point_names[point.index()]; }

/// The point of that exact name, or nothing.
constexpr std::optional<Point> point_named(std::string_view name) {
  for (std::size_t i = 0; i < Point::count; ++i) {
    if (point_names[i] == name) return Point::at(i);
  }
  return std::nullopt;
}

/// Unit of the point's signal: "mV", "ohm", "mA", "permille", or empty for a contact or coil.
constexpr std::string_view unit(Point point) {
  if (point.is_binary()) return "";
  if (point == Point::heater()) return "permille";
  if (point == Point(hal::AnalogIn::cold_junction)) return "ohm";
  return point == Point(hal::AnalogIn::oxygen_loop) ? "mA" : "mV";
}

}  // namespace ovenproof::mock
