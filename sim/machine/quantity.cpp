#include "sim/machine/quantity.hpp"

#include <charconv>
#include <cmath>
#include <system_error>

#include <fmt/format.h>

#include "sim/machine/error.hpp"

namespace ovenproof::machine {

namespace {

// The factors are exact by definition: SI prefixes, 1 bar = 100 kPa, 1 h = 3600 s,
// 0 degC = 273.15 K (BIPM, The International System of Units, 9th edition).
constexpr std::array<Unit, 4> time_units{{{"s", 1}, {"min", 60}, {"h", 3600}, {"ms", 1e-3}}};
constexpr std::array<Unit, 2> temperature_units{{{"degC", 1}, {"K", 1, -273.15}}};
constexpr std::array<Unit, 1> difference_units{{{"K", 1}}};
constexpr std::array<Unit, 3> rate_units{{{"K/min", 1}, {"K/h", 1.0 / 60}, {"K/s", 60}}};
constexpr std::array<Unit, 3> volume_units{{{"m3", 1}, {"L", 1e-3}, {"mL", 1e-6}}};
constexpr std::array<Unit, 5> gas_flow_units{
    {{"L/min", 1}, {"mL/min", 1e-3}, {"L/h", 1.0 / 60}, {"m3/h", 1000.0 / 60}, {"L/s", 60}}};
constexpr std::array<Unit, 1> gas_conductance_units{{{"L/(min Pa)", 1}}};
constexpr std::array<Unit, 4> air_flow_units{
    {{"m3/s", 1}, {"L/s", 1e-3}, {"m3/h", 1.0 / 3600}, {"m3/min", 1.0 / 60}}};
constexpr std::array<Unit, 4> pressure_units{
    {{"Pa", 1}, {"kPa", 1e3}, {"mbar", 100}, {"bar", 1e5}}};
constexpr std::array<Unit, 2> power_units{{{"W", 1}, {"kW", 1e3}}};
constexpr std::array<Unit, 2> fraction_units{{{"ppm", 1}, {"%", 1e4}}};
constexpr std::array<Unit, 2> ratio_units{{{"1", 1}, {"%", 1e-2}}};
constexpr std::array<Unit, 3> mass_units{{{"kg", 1}, {"g", 1e-3}, {"t", 1e3}}};
constexpr std::array<Unit, 2> specific_heat_units{{{"J/(kg K)", 1}, {"kJ/(kg K)", 1e3}}};
constexpr std::array<Unit, 2> heat_capacity_units{{{"J/K", 1}, {"kJ/K", 1e3}}};
constexpr std::array<Unit, 2> conductance_units{{{"W/K", 1}, {"kW/K", 1e3}}};
constexpr std::array<Unit, 2> gain_units{{{"1/K", 1}, {"%/K", 1e-2}}};
constexpr std::array<Unit, 2> drive_rate_units{{{"1/s", 1}, {"%/s", 1e-2}}};
constexpr std::array<Unit, 3> area_units{{{"m2", 1}, {"cm2", 1e-4}, {"mm2", 1e-6}}};
constexpr std::array<Unit, 3> length_units{{{"m", 1}, {"mm", 1e-3}, {"cm", 1e-2}}};
constexpr std::array<Unit, 1> air_change_units{{{"1/h", 1}}};
// Reliability counts a year as 365 days (ISO 13849-1:2015, annex K; IEC 61508-6, annex B).
constexpr std::array<Unit, 2> lifetime_units{{{"a", 1}, {"h", 1.0 / 8760}}};
constexpr std::array<Unit, 3> operating_rate_units{{{"1/a", 1}, {"1/d", 365}, {"1/h", 8760}}};
constexpr std::array<Unit, 2> current_units{{{"mA", 1}, {"A", 1e3}}};
constexpr std::array<Unit, 2> resistance_units{{{"ohm", 1}, {"kohm", 1e3}}};

struct Entry {
  std::string_view name;
  std::span<const Unit> units;
};

Entry entry(Dimension dimension) {
  switch (dimension) {
    case Dimension::number:
      return {"a plain number", {}};
    case Dimension::time:
      return {"a time", time_units};
    case Dimension::temperature:
      return {"a temperature", temperature_units};
    case Dimension::temperature_difference:
      return {"a temperature difference", difference_units};
    case Dimension::temperature_rate:
      return {"a temperature rate", rate_units};
    case Dimension::volume:
      return {"a volume", volume_units};
    case Dimension::gas_flow:
      return {"a gas flow", gas_flow_units};
    case Dimension::gas_conductance:
      return {"a flow per pressure", gas_conductance_units};
    case Dimension::air_flow:
      return {"an air flow", air_flow_units};
    case Dimension::pressure:
      return {"a pressure", pressure_units};
    case Dimension::power:
      return {"a power", power_units};
    case Dimension::mole_fraction:
      return {"a mole fraction", fraction_units};
    case Dimension::ratio:
      return {"a ratio", ratio_units};
    case Dimension::mass:
      return {"a mass", mass_units};
    case Dimension::specific_heat:
      return {"a specific heat", specific_heat_units};
    case Dimension::heat_capacity:
      return {"a heat capacity", heat_capacity_units};
    case Dimension::conductance:
      return {"a thermal conductance", conductance_units};
    case Dimension::controller_gain:
      return {"a controller gain", gain_units};
    case Dimension::drive_rate:
      return {"a drive rate", drive_rate_units};
    case Dimension::area:
      return {"an area", area_units};
    case Dimension::length:
      return {"a length", length_units};
    case Dimension::air_changes:
      return {"an air change rate", air_change_units};
    case Dimension::lifetime:
      return {"a lifetime", lifetime_units};
    case Dimension::operating_rate:
      return {"a rate of operations", operating_rate_units};
    case Dimension::current:
      return {"a current", current_units};
    case Dimension::resistance:
      return {"a resistance", resistance_units};
    case Dimension::count:
      break;
  }
  return {"nothing", {}};
}

constexpr std::string_view blanks = " \t";

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

/// What some other dimension calls this unit, or empty.
std::string_view other_dimension(std::string_view symbol) {
  for (int i = 0; i < static_cast<int>(Dimension::count); ++i) {
    if (find_unit(static_cast<Dimension>(i), symbol) != nullptr) {
      return name_of(static_cast<Dimension>(i));
    }
  }
  return {};
}

}  // namespace

std::span<const Unit> units_of(Dimension dimension) { return entry(dimension).units; }

std::string_view name_of(Dimension dimension) { return entry(dimension).name; }

std::string_view base_unit(Dimension dimension) {
  const auto units = units_of(dimension);
  return units.empty() ? std::string_view{} : units.front().symbol;
}

const Unit* find_unit(Dimension dimension, std::string_view symbol) {
  for (const Unit& unit : units_of(dimension)) {
    if (unit.symbol == symbol) return &unit;
  }
  return nullptr;
}

// Neither direction is exact for a factor such as 1e-3, but both are within an ulp or two, and
// format_exactly repairs that.
double to_unit(double base_value, const Unit& unit) {
  return base_value / unit.factor - unit.offset;
}
double from_unit(double value, const Unit& unit) { return (value + unit.offset) * unit.factor; }

std::variant<double, BadQuantity> parse_quantity(std::string_view text, Dimension dimension) {
  using Why = BadQuantity::Why;
  const std::string quoted = fmt::format("\"{}\"", shown(text));
  std::string_view rest = trimmed(text);
  if (rest.starts_with('+') && !rest.starts_with("+-")) rest.remove_prefix(1);
  double number = 0.0;
  const auto [end, failure] = std::from_chars(rest.data(), rest.data() + rest.size(), number);
  if (failure == std::errc::invalid_argument || end == rest.data()) {
    return BadQuantity{Why::no_number, quoted};
  }
  const std::string_view symbol = trimmed(rest.substr(static_cast<std::size_t>(end - rest.data())));
  if (failure == std::errc::result_out_of_range || !std::isfinite(number)) {
    return BadQuantity{Why::not_finite, quoted};
  }
  if (dimension == Dimension::number) {
    if (symbol.empty()) return number;
    return BadQuantity{Why::unit_not_wanted, quoted};
  }
  if (symbol.empty()) {
    if (dimension == Dimension::ratio) return number;
    return BadQuantity{Why::no_unit, quoted};
  }
  const Unit* unit = find_unit(dimension, symbol);
  if (unit == nullptr) {
    const std::string_view measures = other_dimension(symbol);
    if (measures.empty()) return BadQuantity{Why::unknown_unit, quoted};
    return BadQuantity{Why::wrong_dimension, fmt::format("{} ({})", quoted, measures)};
  }
  const double value = from_unit(number, *unit);
  if (!std::isfinite(value)) return BadQuantity{Why::not_finite, quoted};
  return value;
}

namespace {
std::string with_unit(std::string number, Dimension dimension, std::string_view unit) {
  const bool bare = dimension == Dimension::number || unit == "1";
  return bare ? number : fmt::format("{} {}", number, unit);
}
double in_unit(double base_value, Dimension dimension, std::string_view symbol) {
  const Unit* unit = find_unit(dimension, symbol);
  if (unit == nullptr) return base_value;
  return to_unit(base_value, *unit);
}
}  // namespace

namespace {
std::string format_digits(double base_value, Dimension dimension, std::string_view unit, int digits,
                          double whole_from) {
  double value = in_unit(base_value, dimension, unit);
  if (value == 0.0) value = 0.0;  // no "-0"
  const double size = std::fabs(value);
  std::string number = size >= whole_from && size < 1e15 ? fmt::format("{:.0f}", value)
                                                         : fmt::format("{:.{}g}", value, digits);
  return with_unit(std::move(number), dimension, unit);
}
}  // namespace

std::string format_quantity(double base_value, Dimension dimension, std::string_view unit) {
  return format_digits(base_value, dimension, unit, 6, 1e5);
}

std::string format_rounded(double base_value, Dimension dimension, std::string_view unit) {
  return format_digits(base_value, dimension, unit, 3, 100);
}

std::string format_exactly(double base_value, Dimension dimension, std::string_view unit) {
  const double near = in_unit(base_value, dimension, unit);
  for (const int digits : {15, 16, 17}) {
    for (const double value :
         {near, std::nextafter(near, -HUGE_VAL), std::nextafter(near, HUGE_VAL)}) {
      std::string text = with_unit(fmt::format("{:.{}g}", value, digits), dimension, unit);
      const auto back = parse_quantity(text, dimension);
      if (const double* read = std::get_if<double>(&back); read != nullptr && *read == base_value) {
        return text;
      }
    }
  }
  return with_unit(fmt::format("{:.17g}", base_value), dimension, base_unit(dimension));
}

std::string unit_list(Dimension dimension) {
  std::string out;
  for (const Unit& unit : units_of(dimension)) {
    if (!out.empty()) out += ", ";
    out += unit.symbol;
  }
  return out;
}

}  // namespace ovenproof::machine
