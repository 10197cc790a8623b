#include "firmware/conditioning/thermocouple.hpp"

#include <initializer_list>

#include <doctest/doctest.h>

#include "counts_of.hpp"
#include "firmware/conditioning/pt100.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;
using hal::AnalogIn;

namespace {

constexpr ThermocoupleLimits limits{};
constexpr Reading<Celsius> at_25{Celsius(25.0F), Reason::none};

Reading<Celsius> type_k(double mV, const Reading<Celsius>& junction = at_25) {
  return thermocouple(AnalogIn::te_a, test::count_of(AnalogIn::te_a, mV), ThermocoupleType::K,
                      junction, limits);
}

}  // namespace

TEST_CASE("the cold junction is added as voltage, not as temperature") {
  // 600 degC against 25 degC: E(600) - E(25) of the reference function, type K and N.
  CHECK(type_k(23.9046).value.value == doctest::Approx(600.0).epsilon(2e-4));
  const auto n = thermocouple(AnalogIn::te_b, test::count_of(AnalogIn::te_b, 19.9544),
                              ThermocoupleType::N, at_25, limits);
  CHECK(n.valid());
  CHECK(n.value.value == doctest::Approx(600.0).epsilon(2e-4));
}

TEST_CASE("a shorted thermocouple reads the temperature of its terminals") {
  const auto reading = type_k(0.0);
  CHECK(reading.valid());
  CHECK(reading.value.value == doctest::Approx(25.0).epsilon(2e-3));
}

TEST_CASE("full scale is an open circuit, even without a cold junction") {
  CHECK(type_k(80.0).reason == Reason::open_circuit);
  CHECK(type_k(80.0, {Celsius(0.0F), Reason::open_circuit}).reason == Reason::open_circuit);
  CHECK(type_k(79.0).reason == Reason::over_range);
}

TEST_CASE("there is no temperature without a valid cold junction") {
  CHECK(type_k(10.0, {Celsius(25.0F), Reason::over_range}).reason == Reason::cold_junction);
}

TEST_CASE("temperatures beyond the limits are out of range, on the limits valid") {
  const Reading<Celsius> at_0{Celsius(0.0F), Reason::none};
  CHECK(type_k(-0.7775, at_0).valid());  // -20 degC is -0.778 mV
  CHECK(type_k(-0.782, at_0).reason == Reason::under_range);
  CHECK(type_k(45.115, at_0).valid());  // 1100 degC is 45.119 mV
  CHECK(type_k(45.125, at_0).reason == Reason::over_range);
  CHECK(type_k(-10.0, at_0).reason == Reason::under_range);
}

TEST_CASE("limits wider than the tables do not make the held ends valid") {
  const ThermocoupleLimits wide{Celsius(-1000.0F), Celsius(5000.0F)};
  for (const double mV : {-10.0, 75.0}) {
    const auto reading = thermocouple(AnalogIn::te_a, test::count_of(AnalogIn::te_a, mV),
                                      ThermocoupleType::K, at_25, wide);
    CHECK_FALSE(reading.valid());
  }
}

TEST_CASE("the cold junction tells a broken from a shorted Pt100 from one out of range") {
  const ColdJunctionLimits cj{};
  const auto read = [&](double ohm) {
    return cold_junction(test::count_of(AnalogIn::cold_junction, ohm), cj);
  };
  CHECK(read(109.735).value.value == doctest::Approx(25.0).epsilon(1e-3));
  CHECK(read(109.735).valid());
  CHECK(read(1000.0).reason == Reason::open_circuit);
  CHECK(read(0.0).reason == Reason::short_circuit);
  CHECK(read(90.0).reason == Reason::under_range);  // -25 degC
  CHECK(read(135.0).reason == Reason::over_range);  // 91 degC
}
