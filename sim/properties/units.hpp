#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace ovenproof::properties {

/// Exponents over kg, m, s, K, A, mol, turn and fraction. A fraction (ppm, %) is kept apart from a
/// plain number so that a forgotten unit is noticed.
struct Dimension {
  std::array<std::int16_t, 8> exponent{};

  friend bool operator==(const Dimension&, const Dimension&) = default;
};

inline constexpr Dimension number_dimension{};
inline constexpr Dimension time_dimension{{0, 0, 1}};
inline constexpr Dimension temperature_dimension{{0, 0, 0, 1}};
inline constexpr Dimension fraction_dimension{{0, 0, 0, 0, 0, 0, 0, 1}};

/// How a temperature is meant. Everything that is not a temperature is `plain`.
enum class Reading : std::uint8_t {
  plain,   ///< a quantity, or a difference of two temperatures
  point,   ///< a temperature on its scale: differences of two are plain, sums have no meaning
  either,  ///< a literal in K, which may be either until it meets its partner
};

/// A unit of measurement: value in SI = value * numerator / denominator + offset.
///
/// The factor is kept as a quotient so that 50 ppm is the double nearest to 0.00005 and not a
/// product of two rounded numbers.
struct Unit {
  std::string symbol;
  Dimension dimension;
  double numerator = 1.0;
  double denominator = 1.0;
  double offset = 0.0;  ///< K; 273.15 for degC, else 0
  Reading reading = Reading::plain;
};

/// The unit written as `text`: a symbol of the table in docs/properties.md, or symbols joined by
/// `/` and `*` ("L/min", "K/min", "m3/h"). Empty text and "1" are the plain number. Nothing if a
/// symbol is unknown, or if degC or deltaK is part of a compound (write K).
[[nodiscard]] std::optional<Unit> parse_unit(std::string_view text);

/// What the dimension is called, for messages: "temperature", "pressure", "volume flow", or the
/// SI product ("kg*m2/s3") where the trade has no word.
[[nodiscard]] std::string dimension_name(const Dimension& dimension);

/// The unit of a difference between two readings in `unit`: K for degC, the unit itself otherwise.
[[nodiscard]] Unit difference_unit(const Unit& unit);

/// The unit of a product, or of a quotient where `divide`. A fraction times a plain number stays a
/// fraction; times anything else it acts as a number. Nothing if an exponent leaves +-100.
[[nodiscard]] std::optional<Unit> product_unit(const Unit& left, const Unit& right, bool divide);

/// `value` read in `from`, expressed in `to`. Dimensions must agree. With `point` the zero of the
/// scales is honoured (degC to K); without, only their steps.
[[nodiscard]] double convert(double value, const Unit& from, const Unit& to, bool point);

}  // namespace ovenproof::properties
