#pragma once
#include <array>
#include <span>
#include <string>
#include <string_view>
#include <variant>

/// Values with units as they are written in machine files: `160 L`, `100 L/min`, `600 degC`.
namespace ovenproof::machine {

/// What a value measures. Values of one dimension convert into each other.
enum class Dimension {
  number,                  ///< no unit
  time,                    ///< s
  temperature,             ///< degC
  temperature_difference,  ///< K
  temperature_rate,        ///< K/min
  volume,                  ///< m3
  gas_flow,                ///< L/min at 0 degC and 101.325 kPa
  gas_conductance,         ///< L/(min Pa), flow at 0 degC and 101.325 kPa
  air_flow,                ///< m3/s at the temperature of the air
  pressure,                ///< Pa
  power,                   ///< W
  mole_fraction,           ///< ppm
  ratio,                   ///< 1
  mass,                    ///< kg
  specific_heat,           ///< J/(kg K)
  heat_capacity,           ///< J/K
  conductance,             ///< W/K
  controller_gain,         ///< 1/K, full power being 1
  drive_rate,              ///< 1/s, full power being 1
  area,                    ///< m2
  length,                  ///< m
  air_changes,             ///< 1/h
  lifetime,                ///< a, of 8760 h
  operating_rate,          ///< 1/a
  current,                 ///< mA
  resistance,              ///< ohm
  count
};

/// One way to write a dimension: value in the base unit = (number + offset) * factor.
struct Unit {
  std::string_view symbol;
  double factor;
  double offset = 0.0;
};

/// The units of a dimension; the first is its base unit. Empty for a plain number.
std::span<const Unit> units_of(Dimension dimension);

/// The base unit's symbol; empty for a plain number.
std::string_view base_unit(Dimension dimension);

/// The unit of that dimension with that symbol, or nullptr.
const Unit* find_unit(Dimension dimension, std::string_view symbol);

/// A value in the base unit, in another unit of its dimension, and back.
double to_unit(double base_value, const Unit& unit);
double from_unit(double value, const Unit& unit);

/// Why a text is no quantity of a dimension.
struct BadQuantity {
  enum class Why {
    no_number,        ///< does not begin with a decimal number
    not_finite,       ///< NaN, infinite or beyond what a double holds
    no_unit,          ///< a number and nothing else
    unit_not_wanted,  ///< a unit after what is a plain number
    wrong_dimension,  ///< a unit that measures something else
    unknown_unit      ///< a unit known to no dimension
  };
  Why why;
  std::string found;  ///< to be shown, for example "\"160 kg\" (a mass)"
};

/// Reads `<decimal number> [<unit>]`; a blank between is optional. The result is in the base unit.
/// Accepts no hexadecimal numbers, no digit separators and no comma as the decimal point.
std::variant<double, BadQuantity> parse_quantity(std::string_view text, Dimension dimension);

/// The value, given in the base unit, in `unit` (a symbol of the dimension): `160 L`. Rounded to
/// six significant digits, never in exponent form for 1e-4 <= |value| < 1e15.
std::string format_quantity(double base_value, Dimension dimension, std::string_view unit);

/// The same rounded to three significant digits, for figures that are estimates.
std::string format_rounded(double base_value, Dimension dimension, std::string_view unit);

/// The same with as many digits as it takes to read the same double back.
std::string format_exactly(double base_value, Dimension dimension, std::string_view unit);

/// "a volume", "a gas flow".
std::string_view name_of(Dimension dimension);

/// The symbols of a dimension, most usual first: "L, m3, mL".
std::string unit_list(Dimension dimension);

}  // namespace ovenproof::machine
