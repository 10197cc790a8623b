#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "bench.hpp"

using namespace ovenproof;
using namespace ovenproof::controller::testing;

namespace {

std::string different(const Bench& a, const Bench& b) {
  std::string text;
  for (std::size_t i = 0; i < logic::plain_fact_count; ++i) {
    const auto each = static_cast<Fact>(i);
    if (a.fact(each) == b.fact(each)) continue;
    text += std::string(text.empty() ? "" : " ") + logic::name_of(each);
  }
  return text;
}

/// Two ovens of the same settings, one of them with this wiring fault, after `ms`.
std::string moved_by(const settings::Settings& settings, const mock::SignalFault& fault,
                     std::uint32_t ms = 1'000) {
  Bench still(settings);
  Bench faulty(settings);
  REQUIRE(still.controller->settings_refusal() == settings::Refusal::none);
  still.run(3'000);
  faulty.run(3'000);
  REQUIRE(different(still, faulty).empty());
  REQUIRE(faulty.board.inject(fault).id);
  still.run(ms);
  faulty.run(ms);
  return different(still, faulty);
}

settings::Settings with_one_thermocouple() {
  settings::Settings s = quick_settings();
  s.options.thermocouples = 1;
  return s;
}

settings::Settings with_oxygen_by(settings::OxygenSensor sensor) {
  settings::Settings s = quick_settings();
  s.options.oxygen_sensor = sensor;
  s.purge.minimum_volumes = 10.0F;  // as an oven without a monitor must have
  return s;
}

/// At rest with both thermocouples at these, mV above the terminals' 20 degC.
mock::FieldInputs hot(double a_mV, double b_mV) {
  mock::FieldInputs field = oven_at_rest();
  field.set(AnalogIn::te_a, a_mV);
  field.set(AnalogIn::te_b, b_mV);
  return field;
}

// Type K by ITS-90, less the 0.798 mV of terminals at 20 degC.
constexpr double mV_55_degC = 2.230 - 0.798;
constexpr double mV_65_degC = 2.644 - 0.798;
constexpr double mV_590_degC = 24.480 - 0.798;
constexpr double mV_610_degC = 25.330 - 0.798;

}  // namespace

TEST_CASE("a broken thermocouple, either of two, makes the temperature invalid and nothing cool") {
  for (const AnalogIn point : {AnalogIn::te_a, AnalogIn::te_b}) {
    CHECK(moved_by(quick_settings(), {point, mock::Open{}}) ==
          "temperature_valid cool_to_unload elements_cool");
  }
}

TEST_CASE("on an oven with one thermocouple the second terminal reaches nothing") {
  CHECK(moved_by(with_one_thermocouple(), {AnalogIn::te_b, mock::Open{}}).empty());
  CHECK(moved_by(with_one_thermocouple(), {AnalogIn::te_a, mock::Open{}}) ==
        "temperature_valid cool_to_unload elements_cool");
}

TEST_CASE("a broken cold junction takes temperature and cell with it") {
  for (const mock::Effect& effect :
       {mock::Effect{mock::Open{}}, mock::Effect{mock::ShortCircuit{}}}) {
    CHECK(moved_by(quick_settings(), {AnalogIn::cold_junction, effect}) ==
          "temperature_valid oxygen_valid oxygen_failed oxygen_above_hold cool_to_unload "
          "elements_cool");
  }
  // A transmitter needs no cold junction.
  CHECK(moved_by(with_oxygen_by(settings::OxygenSensor::transmitter),
                 {AnalogIn::cold_junction, mock::Open{}}) ==
        "temperature_valid cool_to_unload elements_cool");
}

TEST_CASE("a broken cell or its thermocouple fails the oxygen reading and nothing else") {
  for (const AnalogIn point : {AnalogIn::oxygen_cell, AnalogIn::oxygen_cell_tc}) {
    const std::string moved = moved_by(quick_settings(), {point, mock::Open{}});
    CHECK(moved == "oxygen_valid oxygen_failed oxygen_above_hold");
  }
}

TEST_CASE("a broken loop fails the oxygen reading of a transmitter and nothing else") {
  CHECK(moved_by(with_oxygen_by(settings::OxygenSensor::transmitter),
                 {AnalogIn::oxygen_loop, mock::Open{}}) ==
        "oxygen_valid oxygen_failed oxygen_above_hold");
}

TEST_CASE("a cell that is warming up is not valid and has not failed") {
  Bench bench;
  bench.field.set(AnalogIn::oxygen_cell_tc, 20.0);
  bench.run(3'000);
  CHECK_FALSE(bench.fact(Fact::oxygen_valid));
  CHECK_FALSE(bench.fact(Fact::oxygen_failed));
}

TEST_CASE("a transmitter's failure current is its warm-up until it has read once, then a failure") {
  mock::FieldInputs warming = oven_at_rest();
  warming.set(AnalogIn::oxygen_loop, 3.5);
  Bench bench(with_oxygen_by(settings::OxygenSensor::transmitter), warming);
  bench.run(3'000);
  CHECK_FALSE(bench.fact(Fact::oxygen_valid));
  CHECK_FALSE(bench.fact(Fact::oxygen_failed));
  bench.field.set(AnalogIn::oxygen_loop, 19.77);
  bench.run(1'000);
  CHECK(bench.fact(Fact::oxygen_valid));
  bench.field.set(AnalogIn::oxygen_loop, 3.5);
  bench.run(1'000);
  CHECK_FALSE(bench.fact(Fact::oxygen_valid));
  CHECK(bench.fact(Fact::oxygen_failed));
}

TEST_CASE("sensors that are not fitted reach nothing") {
  using settings::OxygenSensor;
  for (const auto& [sensor, point] : std::vector<std::pair<OxygenSensor, AnalogIn>>{
           {OxygenSensor::none, AnalogIn::oxygen_cell},
           {OxygenSensor::none, AnalogIn::oxygen_cell_tc},
           {OxygenSensor::none, AnalogIn::oxygen_loop},
           {OxygenSensor::zirconia_cell, AnalogIn::oxygen_loop},
           {OxygenSensor::transmitter, AnalogIn::oxygen_cell},
           {OxygenSensor::transmitter, AnalogIn::oxygen_cell_tc}}) {
    CAPTURE(static_cast<int>(sensor));
    CAPTURE(mock::name(point));
    CHECK(moved_by(with_oxygen_by(sensor), {point, mock::Open{}}) == "");
  }
}

TEST_CASE("a converter that stands still makes every reading invalid, after the time that is set") {
  settings::Settings patient = quick_settings();
  patient.scan.converter_stale = Milliseconds(2'000);
  for (const auto& [s, stale_ms] :
       {std::pair{quick_settings(), 500U}, std::pair{patient, 2'000U}}) {
    Bench bench(s);
    bench.run(3'000);
    REQUIRE(bench.fact(Fact::temperature_valid));
    bench.board.stop_converter(bench.board.virtual_ms());
    bench.run(stale_ms - 150);
    CHECK(bench.fact(Fact::temperature_valid));
    CHECK(bench.fact(Fact::oxygen_valid));
    bench.run(300);
    CHECK_FALSE(bench.fact(Fact::temperature_valid));
    CHECK_FALSE(bench.fact(Fact::oxygen_valid));
    CHECK(bench.fact(Fact::oxygen_failed));
  }
}

TEST_CASE("the hotter thermocouple decides on over-temperature and on unloading") {
  const auto facts_at = [](double a_mV, double b_mV) {
    Bench bench(quick_settings(), hot(a_mV, b_mV));
    bench.run(3'000);
    return std::pair(bench.fact(Fact::over_temperature), bench.fact(Fact::cool_to_unload));
  };
  CHECK(facts_at(mV_590_degC, mV_590_degC) == std::pair(false, false));
  CHECK(facts_at(mV_610_degC, mV_590_degC) == std::pair(true, false));
  CHECK(facts_at(mV_590_degC, mV_610_degC) == std::pair(true, false));
  CHECK(facts_at(mV_55_degC, mV_55_degC) == std::pair(false, true));
  CHECK(facts_at(mV_65_degC, mV_55_degC) == std::pair(false, false));
  CHECK(facts_at(mV_55_degC, mV_65_degC) == std::pair(false, false));
}

TEST_CASE("thermocouples that disagree are told after their time, a jump at once") {
  Bench bench;
  bench.run(3'000);
  bench.field.set(AnalogIn::te_b, 1.2);  // some 30 K above TE-1A
  bench.run(9'000);
  CHECK_FALSE(bench.fact(Fact::thermocouples_disagree));
  CHECK_FALSE(bench.fact(Fact::temperature_rate_implausible));
  bench.run(2'000);
  CHECK(bench.fact(Fact::thermocouples_disagree));
  bench.field.set(AnalogIn::te_a, 10.0);
  bench.run(500);
  CHECK(bench.fact(Fact::temperature_rate_implausible));
}

TEST_CASE("oxygen is at the gate, between, or above the hold limit, never two of them") {
  // Nernst at 750 degC (1023.15 K) in mV against air: R T / 4 F ln(209500 / ppm).
  struct Level {
    double mV;
    bool gate;
    bool hold;
  };
  for (const auto& [mV, gate, hold] :
       {Level{0.0, false, true}, Level{130.0, false, true}, Level{150.0, false, false},
        Level{172.0, true, false}, Level{200.0, true, false}}) {
    CAPTURE(mV);
    mock::FieldInputs field = oven_at_rest();
    field.set(AnalogIn::oxygen_cell, mV);
    Bench bench(quick_settings(), field);
    bench.run(3'000);
    CHECK(bench.fact(Fact::oxygen_at_gate) == gate);
    CHECK(bench.fact(Fact::oxygen_above_hold) == hold);
  }
}

TEST_CASE("with the door open long enough the oxygen reading must be air") {
  for (const auto& [mV, fails] : {std::pair{0.0, false}, std::pair{20.0, true}}) {
    settings::Settings s = quick_settings();
    s.oxygen.air_open_time = Milliseconds(10'000);
    mock::FieldInputs open = oven_at_rest();
    open.set(DigitalIn::door_closed_1, false);
    open.set(DigitalIn::door_closed_2, false);
    open.set(AnalogIn::oxygen_cell, mV);
    Bench bench(s, open);
    bench.run(8'000);
    CHECK_FALSE(bench.fact(Fact::oxygen_air_check_failed));
    bench.run(80'000);
    CHECK(bench.fact(Fact::oxygen_air_check_failed) == fails);
    CHECK(bench.fact(Fact::oxygen_valid) == !fails);
  }
}
