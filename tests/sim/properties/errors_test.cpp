#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "oven_table.hpp"
#include "sim/properties/property.hpp"

namespace ovenproof::properties {
namespace {

/// All messages on `text`, one a line.
std::string errors_of(const std::string& text) {
  const Compiled compiled = compile(text, test::oven_table(), test::scan_period);
  CHECK(compiled.property.has_value() == compiled.errors.empty());
  std::string all;
  for (const Diagnostic& error : compiled.errors) all += error.message() + "\n";
  return all;
}

TEST_CASE("Quantities of different kinds are refused where the second stands") {
  CHECK(errors_of("always chamber.oxygen > 50 degC") ==
        "1:25: expected a fraction (ppm), found a temperature (degC)\n");
  CHECK(errors_of("always temperature.a < 50 ppm") ==
        "1:24: expected a temperature (degC), found a fraction (ppm)\n");
  CHECK(errors_of("always heater.power + chamber.pressure < 5 W") ==
        "1:23: expected a power (W), found a pressure (Pa)\n");
  CHECK(errors_of("always max(temperature.a, heater.power) < 5 degC") ==
        "1:27: expected a temperature (degC), found a power (W)\n");
  CHECK(errors_of("always chamber.oxygen > 50") ==
        "1:25: expected a fraction (ppm), found a plain number\n");
  CHECK(errors_of("always heater.power * 1 s < 5 kW") ==
        "1:29: expected an energy (W*s), found a power (kW)\n");
  CHECK(errors_of("always\n  fan.on implies\n  temperature.a > 3 kPa") ==
        "3:19: expected a temperature (degC), found a pressure (kPa)\n");
}

TEST_CASE("Temperatures and differences of temperatures are kept apart") {
  CHECK(errors_of("always temperature.a - temperature.b < 5 degC") ==
        "1:40: expected a temperature difference (K), found a temperature (degC)\n");
  CHECK(errors_of("always temperature.a + temperature.b < 5 degC") ==
        "1:24: expected a temperature difference (K), found a temperature (degC)\n");
  CHECK(errors_of("always temperature.a - temperature.b - temperature.a < 5 K") ==
        "1:40: expected a temperature difference (K), found a temperature (degC)\n");
  CHECK(errors_of("always abs(temperature.a) < 5 K") ==
        "1:12: expected a temperature difference (K), found a temperature (degC)\n");
  CHECK(errors_of("always -temperature.a < 5 degC") ==
        "1:9: expected a temperature difference after `-`, found a temperature (degC)\n");
  CHECK(errors_of("always 2 * temperature.a < 5 degC") ==
        "1:12: expected a temperature difference (K) in a product, found a temperature (degC)\n");
  CHECK(errors_of("always temperature.a > -10 degC") == "");
  CHECK(errors_of("always temperature.a > 900 K") == "");
  CHECK(errors_of("always temperature.a + 5 K > temperature.b") == "");
  CHECK(errors_of("always 5 K + temperature.a > temperature.b") == "");
  CHECK(errors_of("always temperature.a - 5 K > 20 degC") == "");
  CHECK(errors_of("always abs(temperature.a - temperature.b) < limit.step") == "");
  CHECK(errors_of("always 2 * (temperature.a - temperature.b) < 5 K") == "");
}

TEST_CASE("Unknown names, labels and units are told with what is known") {
  CHECK(errors_of("always heater.powr < 5 W") ==
        "1:8: expected a known name such as `heater.power`, found `heater.powr`\n");
  CHECK(errors_of("always qqq") == "1:8: expected the name of a signal or constant, found `qqq`\n");
  CHECK(errors_of("always phase = soek") ==
        "1:16: expected a label of `phase`: `standby`, `purging`, `ramp`, `soak`, `cooling`, "
        "found `soek`\n");
  CHECK(errors_of("always phase in {ramp, melt}") ==
        "1:24: expected a label of `phase`: `standby`, `purging`, `ramp`, `soak`, `cooling`, "
        "found `melt`\n");
  CHECK(errors_of("always heater.power < 5 hp") == "1:25: expected a known unit, found `hp`\n");
}

TEST_CASE("Conditions, values and states are told apart") {
  CHECK(errors_of("always heater.power") ==
        "1:8: expected a condition, such as a comparison, found a power (W)\n");
  CHECK(errors_of("always phase") ==
        "1:8: expected a condition, such as a comparison, found the state `phase`\n");
  CHECK(errors_of("always door.open + 5 W > 3 W") ==
        "1:8: expected a value with a unit, found a condition\n");
  CHECK(errors_of("always phase < soak") ==
        "1:14: expected `=`, `!=` or `in` with a state, found `<`\n");
  CHECK(errors_of("always heater.power in {soak}") ==
        "1:8: expected a state before `in`, found a power (W)\n");
  CHECK(errors_of("always door.open = heater.on") ==
        "1:8: expected a value or a state beside `=` (conditions are joined by `and`, `or`, "
        "`implies`, `not`), found a condition\n");
}

TEST_CASE("A property says when it must hold") {
  const std::string statement =
      "expected a statement: `always`, `never`, `eventually`, `within T after E: P`, `P until Q`, "
      "`at_start` or `at_end`, found ";
  CHECK(errors_of("door.open") == "1:1: " + statement + "a condition that does not say when\n");
  CHECK(errors_of("true") == "1:1: " + statement + "`true`\n");
  CHECK(errors_of("(always fan.on) and once door.open") ==
        "1:21: " + statement + "a condition that does not say when\n");
}

TEST_CASE("Operators that speak of the whole run stand outermost") {
  CHECK(errors_of("always fan.on implies eventually door.open") ==
        "1:23: expected a time bound on `eventually` inside another operator, such as "
        "`eventually within 5 s` (or parentheses, if two statements were meant), found "
        "`eventually` without a bound\n");
  CHECK(errors_of("always (within 5 s after fan.on: door.open)") ==
        "1:9: expected a condition (`within` is a statement of its own and stands outermost), "
        "found `within`\n");
  CHECK(errors_of("never (at_end fan.on)") ==
        "1:8: expected a condition (`at_end` is a statement of its own and stands outermost), "
        "found `at_end`\n");
  CHECK(errors_of("always fan.on implies eventually within 5 s door.open") == "");
}

TEST_CASE("A word that reaches to the end asks for parentheses where it reads as if it did not") {
  const auto refused = [](const std::string& text, int column, const std::string& word,
                          const std::string& found) {
    CAPTURE(text);
    CHECK(errors_of(text) ==
          "1:" + std::to_string(column) + ": expected parentheses, since `" + word +
              "` reaches to the end: around it, or around all that it governs, found `" + found +
              "`\n");
  };
  refused("never fan.on and once fan.on and door.open", 30, "once", "and");
  refused("always once fan.on or door.open", 20, "once", "or");
  refused("always once within 5 s fan.on implies door.open", 31, "once", "implies");
  refused("always historically [1 s, 2 s] fan.on and door.open", 39, "historically", "and");
  refused("always not once fan.on or door.open", 24, "once", "or");
  refused("always door.open or not once (fan.on) and (fan.on)", 39, "once", "and");
  refused("at_start door.open and always for 5 s fan.on or door.open", 46, "always", "or");
  refused("at_start door.open or not never for 5 s fan.on and door.open", 48, "never", "and");
  for (const char* text :
       {"never fan.on and (once fan.on) and door.open",
        "never fan.on and once (fan.on and door.open)", "never door.open and once fan.on",
        "always (once fan.on) or door.open", "always fan.on or door.open",
        "always fan.on implies once door.open",
        "(at_start door.open) and always for 5 s (fan.on or door.open)",
        "within 1 s after fan.on: fan.on or door.open", "always once fan.on for at least 1 s"}) {
    CAPTURE(text);
    CHECK(errors_of(text) == "");
  }
}

TEST_CASE("Durations are times that do not depend on the run") {
  CHECK(errors_of("within 5 after fan.on: door.open") ==
        "1:8: expected a duration such as `200 ms`, found a plain number\n");
  CHECK(errors_of("within 5 K after fan.on: door.open") ==
        "1:8: expected a duration such as `200 ms`, found a temperature (K)\n");
  CHECK(errors_of("within timer.purge after fan.on: door.open") ==
        "1:8: expected a duration such as `200 ms`, found a signal\n");
  CHECK(errors_of("always fan.on for at least 200 h") ==
        "1:28: expected a duration from 0 s to 168 h, found `200 h`\n");
  CHECK(errors_of("always once [5 s, 2 s] fan.on") ==
        "1:19: expected an upper bound that is not below the lower bound, found `2 s`\n");
  CHECK(errors_of("always once [12 ms, 18 ms] fan.on") ==
        "1:21: expected bounds with at least one scan between them, found none (a scan every "
        "10000000 ns)\n");
  CHECK(errors_of("always once for 5 s fan.on") ==
        "1:17: expected `once within T` or `once [T1, T2]`, found `for`\n");
  CHECK(errors_of("within reaction after fan.on: door.open") == "");
}

TEST_CASE("A margin can only be asked for in a quantity the property compares") {
  CHECK(errors_of("always heater.power < 5 W, margin in kW") == "");
  CHECK(errors_of("always heater.power < 5 W, margin in ms") == "");
  const std::string wanted =
      "expected a unit of time, or of a difference of what the property compares, found ";
  CHECK(errors_of("always heater.power < 5 W, margin in K") == "1:38: " + wanted + "`K`\n");
  CHECK(errors_of("always temperature.a < 5 degC, margin in degC") ==
        "1:42: " + wanted + "`degC`\n");
  CHECK(errors_of("always heater.power < 5 W, margin W") == "1:35: expected `in`, found `W`\n");
}

TEST_CASE("Broken syntax is told at its place, and reading goes on behind it") {
  CHECK(errors_of("") == "1:1: expected a condition or a value, found the end of the text\n");
  CHECK(errors_of("always") == "1:7: expected a condition or a value, found the end of the text\n");
  CHECK(errors_of("always (fan.on") == "1:15: expected `)`, found the end of the text\n");
  CHECK(errors_of("always fan.on and and heater.on") ==
        "1:19: expected a condition or a value, found `and`\n");
  CHECK(errors_of("always fan.on fan.on") ==
        "1:15: expected `and`, `or`, `implies`, a comparison, or the end of the property, found "
        "`fan.on`\n");
  CHECK(errors_of("always fan.on for 5 s") == "1:19: expected `at least`, found `5`\n");
  CHECK(errors_of("within 5 s fan.on: door.open") == "1:12: expected `after`, found `fan.on`\n");
  CHECK(errors_of("always phase in ramp") == "1:17: expected `{`, found `ramp`\n");
  // What is in parentheses behind a mistake is passed over whole.
  CHECK(errors_of("always < (fan.on and door.open) and qqq") ==
        "1:8: expected a condition or a value, found `<`\n"
        "1:37: expected the name of a signal or constant, found `qqq`\n");
  CHECK(errors_of("always \x01") == "1:8: expected a condition or a value, found `\\x01`\n");
  CHECK(errors_of("always \xC2\xB0 and fan.on") ==
        "1:8: expected a condition or a value, found `\xC2\xB0`\n");
}

TEST_CASE("Ten mistakes get ten messages, in the order of the text") {
  const Compiled compiled = compile(
      "always (heater.powr > 5 W or chamber.oxygen > 5 degC) and\n"
      "  phase = soek and door.open > 5 W and\n"
      "  fan.on for at least 5 K and ( and fan.on) and\n"
      "  abs(temperature.a) > 5 K and heater.power and\n"
      "  temperature.a > 5 furlong and once [3 s, 1 s] fan.on",
      test::oven_table(), test::scan_period);
  REQUIRE(compiled.errors.size() == 10);
  const std::vector<Position> places{{1, 9},  {1, 47}, {2, 11}, {2, 20}, {3, 23},
                                     {3, 33}, {4, 7},  {4, 32}, {5, 21}, {5, 44}};
  for (std::size_t i = 0; i < places.size(); ++i) {
    CAPTURE(compiled.errors[i].message());
    CHECK(compiled.errors[i].position == places[i]);
  }
}

TEST_CASE("Hostile depth and length are refused, not suffered") {
  CHECK(errors_of("always " + std::string(5000, '(') + "fan.on").find("at most 40 levels") !=
        std::string::npos);
  std::string negations = "always ";
  for (int i = 0; i < 3000; ++i) negations += "not ";
  CHECK(errors_of(negations + "fan.on").find("at most 40 levels") != std::string::npos);
  std::string sum = "always heater.power";
  for (int i = 0; i < 3000; ++i) sum += "-1 W";
  CHECK(errors_of(sum + "< 1 W").find("at most 200 operators") != std::string::npos);
  for (int terms = 190; terms < 210; ++terms) {  // too deep is the sum, the comparison or `once`
    CAPTURE(terms);
    std::string past = "always once heater.power";
    for (int i = 0; i < terms; ++i) past += "-1 W";
    const bool refused =
        errors_of(past + "< 1 W").find("at most 200 operators") != std::string::npos;
    CHECK(refused == (terms > 197));
  }
  std::string product = "always heater.power";
  for (int i = 0; i < 150; ++i) product += "*heater.power";
  CHECK(errors_of(product + "< 1 W").find("a moderate power") != std::string::npos);
  CHECK(errors_of(std::string(20000, ' ') + "always fan.on").find("at most 16384 bytes") !=
        std::string::npos);
  std::string wide = "always fan.on";
  for (int i = 0; i < 1200; ++i) wide += " and fan.on";
  CHECK(errors_of(wide + " or door.open") == "");
  CHECK(errors_of("always heater.power < 1e999 W") ==
        "1:23: expected a number that a double can hold, found `1e999`\n");
}

}  // namespace
}  // namespace ovenproof::properties
