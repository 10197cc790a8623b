#include "firmware/controller/instruments.hpp"

#include <cmath>
#include <initializer_list>
#include <utility>

#include <doctest/doctest.h>

#include "bench.hpp"

/// What reaches the judgements behind the readings: each circumstance alone, without a sequence
/// that brings others with it.
using namespace ovenproof;
using namespace ovenproof::controller::testing;
using logic::Output;
using logic::OutputSet;

namespace {

/// Instruments on a mock board; a test says what is energised.
struct Oven : InstrumentBench {
  using InstrumentBench::InstrumentBench;

  void run(double seconds) {
    const long scans = std::lround(seconds * 100.0);
    for (long n = 0; n < scans; ++n) {
      scan(energised, drive);
      instruments.tell(facts, configuration);
    }
  }
  void door(bool open) {
    field.set(DigitalIn::door_closed_1, !open);
    field.set(DigitalIn::door_closed_2, !open);
  }
  /// What a cell at 750 degC reads: 22.04 mV each factor e: R T / 4 F at 1023.15 K.
  void oxygen_is(double ppm) {
    field.set(AnalogIn::oxygen_cell, 22.04 * std::log(209'500.0 / ppm));
  }

  OutputSet energised;
  Fraction drive;
};

settings::Settings with_quick_air() {
  settings::Settings s = quick_settings();
  s.oxygen.air_open_time = Milliseconds(10'000);
  return s;
}

/// Air has come in through the open door, and the door has been closed.
Oven aired(const settings::Settings& settings = with_quick_air()) {
  Oven oven(settings);
  oven.run(5);
  oven.door(true);
  oven.run(20);
  oven.door(false);
  oven.run(1);
  REQUIRE(oven.fact(Fact::oxygen_valid));
  return oven;
}

}  // namespace

TEST_CASE("gas makes the oxygen fall, commanded or proven, purge or process, and else it cannot") {
  struct Flow {
    Output valve;
    DigitalIn proof;
    double L_min;
  };
  for (const Flow& flow : {Flow{Output::purge_valve, DigitalIn::purge_flow, 100.0},
                           Flow{Output::process_valve, DigitalIn::process_flow, 20.0}}) {
    for (const auto& [commanded, proven] :
         {std::pair{true, false}, std::pair{false, true}, std::pair{false, false}}) {
      CAPTURE(static_cast<int>(flow.valve));
      CAPTURE(commanded);
      CAPTURE(proven);
      Oven oven = aired();
      if (commanded) oven.energised = OutputSet(flow.valve);
      oven.field.set(flow.proof, proven);
      // As a stirred chamber of 160 L falls, to a fifth of air.
      const double seconds = 1.6 * 60.0 * 160.0 / flow.L_min;
      for (double t = 0.0; t < seconds; t += 1.0) {
        oven.oxygen_is(209'500.0 * std::exp(-flow.L_min / 160.0 * t / 60.0));
        oven.run(1.0);
      }
      CHECK(oven.fact(Fact::oxygen_falls_too_soon) == (!commanded && !proven));
      CHECK(oven.fact(Fact::oxygen_valid) == (commanded || proven));
    }
  }
}

TEST_CASE("gas in a hot chamber makes the oxygen fall faster than in a cold one") {
  for (const auto& [mV, too_soon] : {std::pair{0.0, true}, std::pair{40.0, false}}) {
    Oven oven(with_quick_air());
    oven.thermocouples(mV);
    oven.run(5);
    oven.door(true);
    oven.run(20);
    oven.door(false);
    oven.energised = OutputSet(Output::purge_valve);
    oven.run(18);
    oven.oxygen_is(40'000.0);
    oven.run(6);
    REQUIRE(oven.fact(Fact::temperature_valid));
    CHECK(oven.fact(Fact::oxygen_falls_too_soon) == too_soon);
  }
}

TEST_CASE(
    "a cell whose voltage stands still is frozen once its temperature has moved, not before") {
  for (const bool moves : {false, true}) {
    Oven oven(with_quick_air());
    oven.oxygen_is(50.0);
    oven.run(5);
    if (moves) oven.field.set(AnalogIn::oxygen_cell_tc, 30.00);  // some 10 K less
    oven.run(200);
    CHECK(oven.fact(Fact::oxygen_frozen) == moves);
    CHECK(oven.fact(Fact::oxygen_valid) == !moves);
  }
}

TEST_CASE("cooling by damper or by blower that comes and goes explains a rise with no heat on") {
  for (const auto& [cooling, told] :
       {std::pair{OutputSet(), true}, std::pair{OutputSet(Output::damper), false},
        std::pair{OutputSet(Output::blower), false},
        std::pair{OutputSet(Output::process_valve), true}}) {
    CAPTURE(static_cast<int>(cooling.bits()));
    settings::Settings s = quick_settings();
    s.temperature.undemanded_grace = Milliseconds(120'000);
    Oven oven(s);
    oven.run(130);
    // Some 50 K in 100 s.
    for (int second = 0; second < 100; ++second) {
      oven.energised = second % 50 == 10 ? cooling : OutputSet();
      oven.thermocouples(0.02 * second);
      oven.run(1.0);
    }
    CHECK(oven.fact(Fact::rise_without_demand) == told);
  }
}

TEST_CASE("an oven without monitor never waits for one to warm up") {
  settings::Settings s = quick_settings();
  s.options.oxygen_sensor = settings::OxygenSensor::none;
  s.oxygen.warm_up_maximum = Milliseconds(300'000);
  Oven oven(s);
  oven.run(400);
  CHECK_FALSE(oven.fact(Fact::oxygen_failed));
}

TEST_CASE("over-temperature is told in every scan, and until the hysteresis is left") {
  // Type K by ITS-90, less the 0.798 mV of terminals at 20 degC.
  constexpr double mV_580_degC = 24.055 - 0.798;
  constexpr double mV_595_degC = 24.693 - 0.798;
  constexpr double mV_610_degC = 25.330 - 0.798;
  Oven oven(quick_settings());
  oven.thermocouples(mV_595_degC);
  oven.run(5);
  CHECK_FALSE(oven.fact(Fact::over_temperature));
  oven.thermocouples(mV_610_degC);
  oven.run(5);
  for (int scan = 0; scan < 20; ++scan) {
    oven.run(0.01);
    CHECK(oven.fact(Fact::over_temperature));
  }
  oven.thermocouples(mV_595_degC);
  oven.run(5);
  CHECK(oven.fact(Fact::over_temperature));
  oven.thermocouples(mV_580_degC);
  oven.run(5);
  CHECK_FALSE(oven.fact(Fact::over_temperature));
}
