#pragma once
#include <compare>
#include <cstdint>

/// Strong types for the quantities that cross interfaces of the firmware.
///
/// A quantity is a number with a unit in its type: adding degC to ppm does not compile. Only what
/// the firmware needs is here: construction is explicit, differences and scaling keep the unit.
namespace ovenproof {

template <class Unit, class Rep>
struct Quantity {
  Rep value{};

  constexpr Quantity() = default;
  constexpr explicit Quantity(Rep v) : value(v) {}

  friend constexpr Quantity operator+(Quantity a, Quantity b) {
    return Quantity(static_cast<Rep>(a.value + b.value));
  }
  friend constexpr Quantity operator-(Quantity a, Quantity b) {
    return Quantity(static_cast<Rep>(a.value - b.value));
  }
  friend constexpr auto operator<=>(Quantity, Quantity) = default;
};

/// Time on the board's monotonic clock or a duration, in ms. The clock wraps after 49.7 days;
/// differences of two readings stay right across the wrap, comparisons of readings do not.
using Milliseconds = Quantity<struct MillisecondUnit, std::uint32_t>;
/// Temperature, degC.
using Celsius = Quantity<struct CelsiusUnit, float>;
/// Temperature difference, K.
using Kelvins = Quantity<struct KelvinUnit, float>;
/// Mole fraction of oxygen, ppm (1e-6).
using Ppm = Quantity<struct PpmUnit, float>;
/// Electromotive force, mV.
using Millivolts = Quantity<struct MillivoltUnit, float>;
/// Loop current, mA.
using Milliamps = Quantity<struct MilliampUnit, float>;
/// Resistance, ohm.
using Ohms = Quantity<struct OhmUnit, float>;
/// Gas flow, L/min at 0 degC and 101.325 kPa.
using LitresPerMinute = Quantity<struct LitrePerMinuteUnit, float>;
/// Fraction of full heater power, 0..1.
using Fraction = Quantity<struct FractionUnit, float>;

}  // namespace ovenproof
