#include "sim/machine/quantity.hpp"

#include <cmath>
#include <limits>
#include <string>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof::machine;
using ovenproof::test::check_property;

namespace {

double good(std::string_view text, Dimension dimension) {
  const auto parsed = parse_quantity(text, dimension);
  REQUIRE(std::holds_alternative<double>(parsed));
  return std::get<double>(parsed);
}

BadQuantity::Why bad(std::string_view text, Dimension dimension) {
  const auto parsed = parse_quantity(text, dimension);
  CAPTURE(text);
  REQUIRE(std::holds_alternative<BadQuantity>(parsed));
  return std::get<BadQuantity>(parsed).why;
}

const auto all_dimensions = [] {
  std::vector<Dimension> all;
  for (int i = 0; i < static_cast<int>(Dimension::count); ++i)
    all.push_back(static_cast<Dimension>(i));
  return all;
}();

}  // namespace

TEST_CASE("one in each unit is what the definition of the unit says") {
  struct Known {
    std::string_view text;
    Dimension dimension;
    double base;
  };
  // Definitions: BIPM, The International System of Units, 9th edition (prefixes, min, h, L, t,
  // degC); bar = 100 kPa: IUPAC, Quantities, Units and Symbols in Physical Chemistry.
  for (const Known& known : std::initializer_list<Known>{
           {"1 s", Dimension::time, 1},
           {"1 ms", Dimension::time, 0.001},
           {"1 min", Dimension::time, 60},
           {"1 h", Dimension::time, 3600},
           {"1 degC", Dimension::temperature, 1},
           {"273.15 K", Dimension::temperature, 0},
           {"1 K", Dimension::temperature_difference, 1},
           {"1 K/min", Dimension::temperature_rate, 1},
           {"1 K/s", Dimension::temperature_rate, 60},
           {"60 K/h", Dimension::temperature_rate, 1},
           {"1 m3", Dimension::volume, 1},
           {"1 L", Dimension::volume, 0.001},
           {"1 mL", Dimension::volume, 1e-6},
           {"1 L/min", Dimension::gas_flow, 1},
           {"1 L/s", Dimension::gas_flow, 60},
           {"60 L/h", Dimension::gas_flow, 1},
           {"6 m3/h", Dimension::gas_flow, 100},
           {"1 mL/min", Dimension::gas_flow, 0.001},
           {"1 L/(min Pa)", Dimension::gas_conductance, 1},
           {"1 m3/s", Dimension::air_flow, 1},
           {"1 L/s", Dimension::air_flow, 0.001},
           {"3600 m3/h", Dimension::air_flow, 1},
           {"60 m3/min", Dimension::air_flow, 1},
           {"1 Pa", Dimension::pressure, 1},
           {"1 kPa", Dimension::pressure, 1000},
           {"1 mbar", Dimension::pressure, 100},
           {"1 bar", Dimension::pressure, 1e5},
           {"1 W", Dimension::power, 1},
           {"1 kW", Dimension::power, 1000},
           {"1 ppm", Dimension::mole_fraction, 1},
           {"1 %", Dimension::mole_fraction, 10'000},
           {"1", Dimension::ratio, 1},
           {"1 %", Dimension::ratio, 0.01},
           {"1 kg", Dimension::mass, 1},
           {"1 g", Dimension::mass, 0.001},
           {"1 t", Dimension::mass, 1000},
           {"1 J/(kg K)", Dimension::specific_heat, 1},
           {"1 kJ/(kg K)", Dimension::specific_heat, 1000},
           {"1 J/K", Dimension::heat_capacity, 1},
           {"1 kJ/K", Dimension::heat_capacity, 1000},
           {"1 W/K", Dimension::conductance, 1},
           {"1 kW/K", Dimension::conductance, 1000},
           {"1 1/K", Dimension::controller_gain, 1},
           {"1 %/K", Dimension::controller_gain, 0.01},
           {"1 1/s", Dimension::drive_rate, 1},
           {"1 %/s", Dimension::drive_rate, 0.01},
           {"1 m2", Dimension::area, 1},
           {"1 cm2", Dimension::area, 1e-4},
           {"1 mm2", Dimension::area, 1e-6},
           {"1 m", Dimension::length, 1},
           {"1 cm", Dimension::length, 0.01},
           {"1 mm", Dimension::length, 0.001},
           {"1 1/h", Dimension::air_changes, 1},
           {"1 mA", Dimension::current, 1},
           {"1 A", Dimension::current, 1000},
           {"1 ohm", Dimension::resistance, 1},
           {"1 kohm", Dimension::resistance, 1000},
           {"1", Dimension::number, 1},
       }) {
    CAPTURE(known.text);
    CHECK(good(known.text, known.dimension) == doctest::Approx(known.base).epsilon(1e-15));
  }
}

TEST_CASE("the units of a dimension differ, and the first is its base") {
  for (const Dimension dimension : all_dimensions) {
    CAPTURE(name_of(dimension));
    const auto units = units_of(dimension);
    if (dimension == Dimension::number) {
      CHECK(units.empty());
      continue;
    }
    REQUIRE_FALSE(units.empty());
    CHECK(units[0].factor == 1.0);
    CHECK(units[0].offset == 0.0);
    for (std::size_t i = 0; i < units.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) CHECK(units[i].symbol != units[j].symbol);
    }
  }
}

TEST_CASE("any value written in any unit reads back as the same bits") {
  for (const Dimension dimension : all_dimensions) {
    for (const Unit& unit : units_of(dimension)) {
      CAPTURE(name_of(dimension));
      CAPTURE(unit.symbol);
      check_property(20'260'001, [&] {
        // Any finite number of a size that people use.
        const double mantissa = *rc::gen::inRange<std::int64_t>(-1'000'000'000, 1'000'000'000);
        const int exponent = *rc::gen::inRange(-40, 10);
        const double value = std::ldexp(mantissa, exponent);
        const std::string text = format_exactly(value, dimension, unit.symbol);
        const auto back = parse_quantity(text, dimension);
        RC_ASSERT(std::holds_alternative<double>(back));
        RC_ASSERT(std::get<double>(back) == value);
      });
    }
  }
}

TEST_CASE("a rounded value is near the exact one and ends in its unit") {
  check_property(20'260'002, [] {
    const double value = *rc::gen::inRange<std::int64_t>(1, 2'000'000'000) / 1000.0;
    const double six = good(format_quantity(value, Dimension::power, "kW"), Dimension::power);
    const double three = good(format_rounded(value, Dimension::power, "kW"), Dimension::power);
    RC_ASSERT(std::fabs(six - value) <= 5.1e-6 * value);
    RC_ASSERT(std::fabs(three - value) <= 5.1e-3 * value);
  });
  CHECK(format_quantity(0.16, Dimension::volume, "L") == "160 L");
  CHECK(format_quantity(209'500.0, Dimension::mole_fraction, "%") == "20.95 %");
  CHECK(format_quantity(209'500.0, Dimension::mole_fraction, "ppm") == "209500 ppm");
  CHECK(format_quantity(1'234'567.0, Dimension::heat_capacity, "J/K") == "1234567 J/K");
  CHECK(format_quantity(-0.0, Dimension::temperature, "degC") == "0 degC");
  CHECK(format_quantity(0.45, Dimension::ratio, "%") == "45 %");
  CHECK(format_quantity(2.5, Dimension::number, "") == "2.5");
  CHECK(format_rounded(12'345.0, Dimension::power, "kW") == "12.3 kW");
  CHECK(format_rounded(123'456.0, Dimension::power, "W") == "123456 W");
}

TEST_CASE("numbers may be signed, in exponent form, and stand against their unit") {
  CHECK(good("160L", Dimension::volume) == 0.16);
  CHECK(good("  160   L  ", Dimension::volume) == 0.16);
  CHECK(good("+160 L", Dimension::volume) == 0.16);
  CHECK(good("1.6e2 L", Dimension::volume) == 0.16);
  CHECK(good("-5 degC", Dimension::temperature) == -5.0);
  CHECK(good(".5 s", Dimension::time) == 0.5);
  CHECK(good("5. s", Dimension::time) == 5.0);
  CHECK(good("0.8", Dimension::ratio) == 0.8);
}

TEST_CASE("what is no quantity says why") {
  using Why = BadQuantity::Why;
  CHECK(bad("160", Dimension::volume) == Why::no_unit);
  CHECK(bad("160 kg", Dimension::volume) == Why::wrong_dimension);
  CHECK(bad("160 l", Dimension::volume) == Why::unknown_unit);
  CHECK(bad("160 L L", Dimension::volume) == Why::unknown_unit);
  CHECK(bad("1,5 L", Dimension::volume) == Why::unknown_unit);
  CHECK(bad("1'000 L", Dimension::volume) == Why::unknown_unit);
  CHECK(bad("0x10 L", Dimension::volume) == Why::unknown_unit);
  CHECK(bad("L", Dimension::volume) == Why::no_number);
  CHECK(bad("", Dimension::volume) == Why::no_number);
  CHECK(bad("   ", Dimension::volume) == Why::no_number);
  CHECK(bad("+", Dimension::volume) == Why::no_number);
  CHECK(bad("nan L", Dimension::volume) == Why::not_finite);
  CHECK(bad("inf L", Dimension::volume) == Why::not_finite);
  CHECK(bad("-inf L", Dimension::volume) == Why::not_finite);
  CHECK(bad("1e999 L", Dimension::volume) == Why::not_finite);
  CHECK(bad("1.7e308 bar", Dimension::pressure) == Why::not_finite);
  CHECK(bad("5 x", Dimension::number) == Why::unit_not_wanted);
  CHECK(bad("+-5 s", Dimension::time) == Why::no_number);
}

TEST_CASE("any text is read or refused, and what is read is finite") {
  check_property(
      20'260'003,
      [] {
        const auto text = *rc::gen::container<std::string>(
            rc::gen::elementOf(std::string("0123456789+-.eE LminkWgdC%/()Pa\xC3\xB0\n\t")));
        const auto dimension = *rc::gen::elementOf(all_dimensions);
        const auto parsed = parse_quantity(text, dimension);
        if (const double* value = std::get_if<double>(&parsed)) RC_ASSERT(std::isfinite(*value));
      },
      2000);
}
