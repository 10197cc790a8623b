#pragma once
#include <cstdint>

/// Raw inputs to engineering values with validity.
///
/// Every class of this folder is a plain value: copy it and the copy goes on bit for bit as the
/// original would. Time comes in as the milliseconds elapsed since the previous update of the same
/// object; limits come in with each update, so that nothing here owns a setting.
namespace ovenproof::conditioning {

/// Why a reading is not valid.
enum class Reason : std::uint8_t {
  none,               ///< valid
  no_value_yet,       ///< nothing converted since power-up
  stale,              ///< the converter stands still
  open_circuit,       ///< wire or element broken
  short_circuit,      ///< Pt100 shorted
  under_range,        ///< below what this measurement can be
  over_range,         ///< above what this measurement can be
  loop_failure_low,   ///< loop current <= 3.6 mA: NE 43 failure signal or broken loop
  loop_failure_high,  ///< loop current >= 21 mA: NE 43 failure signal
  loop_undefined,     ///< loop current between valid and failure for longer than may be held
  cold_junction,      ///< the cold junction that compensates it is not valid
  cell_thermocouple,  ///< the cell's own thermocouple is not valid
  warming_up,         ///< the cell is not yet, or no longer, at its set temperature
};

/// The enumerator's name, for traces and messages.
constexpr const char* name(Reason reason) {
  switch (reason) {
    case Reason::none:
      return "none";
    case Reason::no_value_yet:
      return "no_value_yet";
    case Reason::stale:
      return "stale";
    case Reason::open_circuit:
      return "open_circuit";
    case Reason::short_circuit:
      return "short_circuit";
    case Reason::under_range:
      return "under_range";
    case Reason::over_range:
      return "over_range";
    case Reason::loop_failure_low:
      return "loop_failure_low";
    case Reason::loop_failure_high:
      return "loop_failure_high";
    case Reason::loop_undefined:
      return "loop_undefined";
    case Reason::cold_junction:
      return "cold_junction";
    case Reason::cell_thermocouple:
      return "cell_thermocouple";
    case Reason::warming_up:
      return "warming_up";
  }
  return "unknown";
}

/// An engineering value and whether it may be used.
template <class Quantity>
struct Reading {
  /// Always finite. For display only while not valid.
  Quantity value{};
  Reason reason = Reason::no_value_yet;

  [[nodiscard]] constexpr bool valid() const { return reason == Reason::none; }
  friend constexpr bool operator==(const Reading&, const Reading&) = default;
};

}  // namespace ovenproof::conditioning
