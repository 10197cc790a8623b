#include "firmware/conditioning/analog_front_end.hpp"

#include <initializer_list>

#include <doctest/doctest.h>

#include "counts_of.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;
using hal::AnalogIn;

namespace {

constexpr Milliseconds scan{10};

hal::InputImage image_of_a_warm_oven() {
  hal::InputImage image;
  const auto set = [&](AnalogIn point, double signal) {
    image.counts[static_cast<std::size_t>(point)] = test::count_of(point, signal);
  };
  set(AnalogIn::cold_junction, 109.7347);  // 25 degC
  set(AnalogIn::te_a, 23.9046);            // type K at 600 degC
  set(AnalogIn::te_b, 23.9046);
  set(AnalogIn::oxygen_cell_tc, 30.2128);  // type K at 750 degC
  set(AnalogIn::oxygen_cell, 168.562);     // 100 ppm at 750 degC
  set(AnalogIn::oxygen_loop, 12.0);
  return image;
}

/// Scans of 10 ms with a conversion every tenth.
struct Scanner {
  AnalogFrontEnd front_end;
  AnalogLimits limits;
  hal::InputImage image = image_of_a_warm_oven();
  int evaluations = 0;
  std::uint32_t evaluated_ms = 0;

  void run(int scans, bool converting = true) {
    for (int i = 0; i < scans; ++i) {
      if (converting && i % 10 == 0) ++image.conversion;
      if (const auto interval = front_end.update(image, scan, limits)) {
        ++evaluations;
        evaluated_ms += interval->value;
      }
    }
  }
};

}  // namespace

TEST_CASE("readings are evaluated once a conversion and the intervals add up to the time") {
  Scanner s;
  s.run(1001);
  CHECK(s.evaluations == 100);
  CHECK(s.evaluated_ms == 10'010);
}

TEST_CASE("every reading of a warm oven comes out of its counts") {
  Scanner s;
  s.run(10);
  CHECK(s.front_end.te_a().reason == Reason::no_value_yet);
  s.run(7000);
  CHECK(s.front_end.cold_junction().value.value == doctest::Approx(25.0).epsilon(1e-3));
  CHECK(s.front_end.te_a().valid());
  CHECK(s.front_end.te_a().value.value == doctest::Approx(600.0).epsilon(2e-4));
  CHECK(s.front_end.te_b() == s.front_end.te_a());
  CHECK(s.front_end.cell_temperature().value.value == doctest::Approx(750.0).epsilon(2e-4));
  CHECK(s.front_end.oxygen().valid());
  CHECK(s.front_end.oxygen().value.value == doctest::Approx(100.0).epsilon(3e-3));
  CHECK(s.front_end.oxygen_count() == s.image.count(AnalogIn::oxygen_cell));
}

TEST_CASE("an oven with a transmitter reads its loop, one without monitor reads no oxygen") {
  Scanner s;
  s.limits.oxygen_sensor = OxygenSensor::loop;
  s.run(100);
  CHECK(s.front_end.oxygen().value.value == doctest::Approx(500.0).epsilon(1e-3));
  CHECK(s.front_end.oxygen_count() == s.image.count(AnalogIn::oxygen_loop));
  Scanner none;
  none.limits.oxygen_sensor = OxygenSensor::none;
  none.run(100);
  none.run(100, false);
  CHECK(none.front_end.oxygen().reason == Reason::no_value_yet);
}

TEST_CASE("type N control thermocouples leave the cell's thermocouple type K") {
  Scanner s;
  s.limits.control_type = ThermocoupleType::N;
  s.run(100);
  CHECK(s.front_end.te_a().value.value > 690.0F);
  CHECK(s.front_end.cell_temperature().value.value == doctest::Approx(750.0).epsilon(2e-4));
}

TEST_CASE("an unused second thermocouple is not read") {
  Scanner s;
  s.limits.control_sensors = 1;
  s.run(100);
  CHECK(s.front_end.te_a().valid());
  CHECK(s.front_end.te_b().reason == Reason::no_value_yet);
}

TEST_CASE("a converter that stands still makes every reading stale, and says so again and again") {
  Scanner s;
  s.run(7000);
  REQUIRE(s.front_end.oxygen().valid());
  s.run(40, false);
  CHECK(s.front_end.te_a().valid());
  s.evaluations = 0;
  s.run(20, false);
  CHECK(s.evaluations == 1);
  CHECK(s.front_end.stale());
  for (const Reason reason :
       {s.front_end.cold_junction().reason, s.front_end.te_a().reason, s.front_end.te_b().reason,
        s.front_end.cell_temperature().reason, s.front_end.oxygen().reason}) {
    CHECK(reason == Reason::stale);
  }
  s.run(520, false);
  CHECK(s.evaluations >= 10);
  CHECK(s.evaluations <= 12);
}

TEST_CASE("after standing still the temperatures are valid at once, the cell must settle again") {
  Scanner s;
  s.run(7000);
  s.run(100, false);
  s.run(10);
  CHECK(s.front_end.te_a().valid());
  CHECK(s.front_end.oxygen().reason == Reason::warming_up);
  s.run(7000);
  CHECK(s.front_end.oxygen().valid());
}

TEST_CASE("an undefined loop current keeps the value from before, for its time") {
  Scanner s;
  s.limits.oxygen_sensor = OxygenSensor::loop;
  s.run(100);
  s.image.counts[static_cast<std::size_t>(AnalogIn::oxygen_loop)] =
      test::count_of(AnalogIn::oxygen_loop, 3.7);
  s.run(400);
  CHECK(s.front_end.oxygen().valid());
  CHECK(s.front_end.oxygen().value.value == doctest::Approx(500.0).epsilon(1e-3));
  s.run(20);
  CHECK_FALSE(s.front_end.oxygen().valid());
}

TEST_CASE("after standing still an undefined loop current does not bring the old value back") {
  Scanner s;
  s.limits.oxygen_sensor = OxygenSensor::loop;
  s.run(100);
  REQUIRE(s.front_end.oxygen().valid());
  s.run(100, false);
  s.image.counts[static_cast<std::size_t>(AnalogIn::oxygen_loop)] =
      test::count_of(AnalogIn::oxygen_loop, 3.7);
  s.run(11);
  CHECK_FALSE(s.front_end.stale());
  CHECK_FALSE(s.front_end.oxygen().valid());
}

TEST_CASE("a broken cold junction leaves no temperature and no oxygen") {
  Scanner s;
  s.image.counts[static_cast<std::size_t>(AnalogIn::cold_junction)] = 65535;
  s.run(7000);
  CHECK(s.front_end.cold_junction().reason == Reason::open_circuit);
  CHECK(s.front_end.te_a().reason == Reason::cold_junction);
  CHECK(s.front_end.cell_temperature().reason == Reason::cold_junction);
  CHECK(s.front_end.oxygen().reason == Reason::cell_thermocouple);
}
