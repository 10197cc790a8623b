#include "sim/properties/units.hpp"

#include <algorithm>
#include <cstdlib>
#include <utility>

namespace ovenproof::properties {
namespace {

struct Symbol {
  std::string_view text;
  Dimension dimension;
  double numerator;
  double denominator;
};

//                              kg  m   s  K  A mol turn fraction
constexpr Dimension length{{0, 1}};
constexpr Dimension area{{0, 2}};
constexpr Dimension volume{{0, 3}};
constexpr Dimension mass{{1}};
constexpr Dimension force{{1, 1, -2}};
constexpr Dimension pressure{{1, -1, -2}};
constexpr Dimension power{{1, 2, -3}};
constexpr Dimension energy{{1, 2, -2}};
constexpr Dimension current{{0, 0, 0, 0, 1}};
constexpr Dimension voltage{{1, 2, -3, 0, -1}};
constexpr Dimension resistance{{1, 2, -3, 0, -2}};
constexpr Dimension frequency{{0, 0, -1}};
constexpr Dimension amount{{0, 0, 0, 0, 0, 1}};
constexpr Dimension angle{{0, 0, 0, 0, 0, 0, 1}};
constexpr Dimension rotation{{0, 0, -1, 0, 0, 0, 1}};

constexpr Symbol symbols[] = {
    {"1", number_dimension, 1, 1},
    {"us", time_dimension, 1, 1e6},
    {"ms", time_dimension, 1, 1e3},
    {"s", time_dimension, 1, 1},
    {"min", time_dimension, 60, 1},
    {"h", time_dimension, 3600, 1},
    {"K", temperature_dimension, 1, 1},
    {"ppb", fraction_dimension, 1, 1e9},
    {"ppm", fraction_dimension, 1, 1e6},
    {"%", fraction_dimension, 1, 100},
    {"fraction", fraction_dimension, 1, 1},
    {"um", length, 1, 1e6},
    {"mm", length, 1, 1e3},
    {"cm", length, 1, 100},
    {"m", length, 1, 1},
    {"mm2", area, 1, 1e6},
    {"cm2", area, 1, 1e4},
    {"m2", area, 1, 1},
    {"mL", volume, 1, 1e6},
    {"L", volume, 1, 1e3},
    {"m3", volume, 1, 1},
    {"mg", mass, 1, 1e6},
    {"g", mass, 1, 1e3},
    {"kg", mass, 1, 1},
    {"N", force, 1, 1},
    {"Pa", pressure, 1, 1},
    {"hPa", pressure, 100, 1},
    {"mbar", pressure, 100, 1},
    {"kPa", pressure, 1e3, 1},
    {"bar", pressure, 1e5, 1},
    {"MPa", pressure, 1e6, 1},
    {"mW", power, 1, 1e3},
    {"W", power, 1, 1},
    {"kW", power, 1e3, 1},
    {"MW", power, 1e6, 1},
    {"J", energy, 1, 1},
    {"kJ", energy, 1e3, 1},
    {"MJ", energy, 1e6, 1},
    {"Wh", energy, 3600, 1},
    {"kWh", energy, 3.6e6, 1},
    {"uA", current, 1, 1e6},
    {"mA", current, 1, 1e3},
    {"A", current, 1, 1},
    {"uV", voltage, 1, 1e6},
    {"mV", voltage, 1, 1e3},
    {"V", voltage, 1, 1},
    {"ohm", resistance, 1, 1},
    {"kohm", resistance, 1e3, 1},
    {"Hz", frequency, 1, 1},
    {"mol", amount, 1, 1},
    {"deg", angle, 1, 360},
    {"turn", angle, 1, 1},
    {"rpm", rotation, 1, 60},
};

constexpr std::pair<Dimension, std::string_view> names[] = {
    {number_dimension, "number"},
    {time_dimension, "time"},
    {temperature_dimension, "temperature"},
    {fraction_dimension, "fraction"},
    {length, "length"},
    {area, "area"},
    {volume, "volume"},
    {mass, "mass"},
    {force, "force"},
    {pressure, "pressure"},
    {power, "power"},
    {energy, "energy"},
    {current, "electric current"},
    {voltage, "voltage"},
    {resistance, "resistance"},
    {frequency, "frequency"},
    {amount, "amount of substance"},
    {angle, "angle"},
    {rotation, "rotational speed"},
    {{{0, 3, -1}}, "volume flow"},
    {{{1, 0, -1}}, "mass flow"},
    {{{0, 0, -1, 1}}, "temperature rate"},
    {{{0, 1, -1}}, "velocity"},
    {{{0, 0, -1, 0, 0, 0, 0, 1}}, "fraction rate"},
    {{{0, 0, -1, 0, 0, 1}}, "molar flow"},
};

std::optional<Unit> parse_symbol(std::string_view text) {
  for (const Symbol& symbol : symbols) {
    if (symbol.text == text) {
      return Unit{std::string(text),
                  symbol.dimension,
                  symbol.numerator,
                  symbol.denominator,
                  0.0,
                  text == "K" ? Reading::either : Reading::plain};
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<Unit> parse_unit(std::string_view text) {
  if (text.empty()) return parse_symbol("1");
  if (text == "degC") return Unit{"degC", temperature_dimension, 1, 1, 273.15, Reading::point};
  if (text == "deltaK") return Unit{"K", temperature_dimension, 1, 1, 0.0, Reading::plain};
  std::optional<Unit> result;
  bool divide = false;
  for (std::string_view rest = text;;) {
    const std::size_t end = std::min(rest.find_first_of("/*"), rest.size());
    const std::optional<Unit> factor = parse_symbol(rest.substr(0, end));
    if (!factor) return std::nullopt;
    if (!result) {
      result = factor;
    } else {
      result = product_unit(*result, *factor, divide);
      if (!result) return std::nullopt;
    }
    if (end == rest.size()) break;
    divide = rest[end] == '/';
    rest.remove_prefix(end + 1);
  }
  result->symbol = text;
  return result;
}

std::string dimension_name(const Dimension& dimension) {
  for (const auto& [known, name] : names) {
    if (known == dimension) return std::string(name);
  }
  constexpr std::string_view base[] = {"kg", "m", "s", "K", "A", "mol", "turn", "fraction"};
  std::string above;
  std::string below;
  for (std::size_t i = 0; i < std::size(base); ++i) {
    const int exponent = dimension.exponent[i];
    if (exponent == 0) continue;
    std::string& side = exponent > 0 ? above : below;
    side += exponent > 0 ? (side.empty() ? "" : "*") : "/";
    side += base[i];
    if (std::abs(exponent) != 1) side += std::to_string(std::abs(exponent));
  }
  return (above.empty() ? "1" : above) + below;
}

Unit difference_unit(const Unit& unit) {
  Unit result = unit;
  if (unit.symbol == "degC") result.symbol = "K";
  result.offset = 0.0;
  result.reading = Reading::plain;
  return result;
}

std::optional<Unit> product_unit(const Unit& left, const Unit& right, bool divide) {
  Unit result;
  result.symbol = left.symbol == "1" && !divide ? right.symbol
                  : right.symbol == "1"         ? left.symbol
                                                : left.symbol + (divide ? "/" : "*") + right.symbol;
  result.numerator = left.numerator * (divide ? right.denominator : right.numerator);
  result.denominator = left.denominator * (divide ? right.numerator : right.denominator);
  for (std::size_t i = 0; i < result.dimension.exponent.size(); ++i) {
    const int sum = left.dimension.exponent[i] +
                    (divide ? -right.dimension.exponent[i] : right.dimension.exponent[i]);
    if (sum < -100 || sum > 100) return std::nullopt;
    result.dimension.exponent[i] = static_cast<std::int16_t>(sum);
  }
  // A fraction survives a product with a plain number or a rate; elsewhere it acts as a number.
  auto& fraction = result.dimension.exponent[7];
  Dimension rest = result.dimension;
  rest.exponent[7] = 0;
  const bool kept = fraction == 1 && (rest == number_dimension || rest == frequency);
  if (!kept) fraction = 0;
  return result;
}

double convert(double value, const Unit& from, const Unit& to, bool point) {
  const double up = from.numerator * to.denominator;
  const double down = from.denominator * to.numerator;
  const double scaled = up == down ? value : value * up / down;
  if (!point || from.offset == to.offset) return scaled;
  return scaled + (from.offset - to.offset) * (to.denominator / to.numerator);
}

}  // namespace ovenproof::properties
