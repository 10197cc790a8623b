#include "sim/properties/units.hpp"

#include <doctest/doctest.h>

namespace ovenproof::properties {
namespace {

Unit unit(std::string_view text) {
  const auto parsed = parse_unit(text);
  REQUIRE(parsed.has_value());
  return *parsed;
}

TEST_CASE("Units convert to the double nearest to the exact value") {
  CHECK(convert(50.0, unit("ppm"), unit("fraction"), false) == 0.00005);
  CHECK(convert(0.00005, unit("fraction"), unit("ppm"), false) == 50.0);
  CHECK(convert(19.5, unit("%"), unit("ppm"), false) == 195000.0);
  CHECK(convert(2.5, unit("h"), unit("min"), false) == 150.0);
  CHECK(convert(250.0, unit("ms"), unit("s"), false) == 0.25);
  CHECK(convert(3.0, unit("kWh"), unit("MJ"), false) == doctest::Approx(10.8));
  CHECK(convert(60.0, unit("L/min"), unit("m3/h"), false) == doctest::Approx(3.6));
  CHECK(convert(1.0, unit("bar"), unit("kPa"), false) == 100.0);
  CHECK(convert(90.0, unit("deg"), unit("turn"), false) == 0.25);
  CHECK(convert(3000.0, unit("rpm"), unit("turn/s"), false) == doctest::Approx(50.0));
}

TEST_CASE("A temperature converts with its zero, a difference without") {
  CHECK(convert(25.0, unit("degC"), unit("K"), true) == 298.15);
  CHECK(convert(298.15, unit("K"), unit("degC"), true) == doctest::Approx(25.0));
  CHECK(convert(25.0, unit("degC"), unit("K"), false) == 25.0);
  CHECK(difference_unit(unit("degC")).symbol == "K");
  CHECK(difference_unit(unit("degC")).reading == Reading::plain);
  CHECK(unit("K").reading == Reading::either);
  CHECK(unit("K/min").reading == Reading::plain);
  CHECK(unit("deltaK").reading == Reading::plain);
}

TEST_CASE("Compound units have the dimension of their product") {
  CHECK(unit("W*h").dimension == unit("kWh").dimension);
  CHECK(unit("J/s").dimension == unit("W").dimension);
  CHECK(unit("V*A").dimension == unit("W").dimension);
  CHECK(unit("N/m2").dimension == unit("Pa").dimension);
  CHECK(dimension_name(unit("L/min").dimension) == "volume flow");
  CHECK(dimension_name(unit("K/min").dimension) == "temperature rate");
  CHECK(dimension_name(unit("kg*m/K").dimension) == "kg*m/K");
  CHECK(dimension_name(unit("1").dimension) == "number");
}

TEST_CASE("What is no unit is refused") {
  for (const char* text :
       {"degF", "ppx", "L/", "/min", "L//min", "degC/min", "deltaK/s", "k W", "L/min/"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_unit(text).has_value());
  }
}

TEST_CASE("A fraction stays a fraction beside a number and acts as a number beside a quantity") {
  CHECK(product_unit(unit("%"), unit("1"), false)->dimension == fraction_dimension);
  CHECK(product_unit(unit("%"), unit("kW"), false)->dimension == unit("W").dimension);
  CHECK(product_unit(unit("%"), unit("ppm"), true)->dimension == number_dimension);
  CHECK(product_unit(unit("ppm"), unit("s"), true)->dimension == unit("ppm/s").dimension);
}

}  // namespace
}  // namespace ovenproof::properties
