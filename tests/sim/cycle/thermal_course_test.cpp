#include "sim/machine/thermal_course.hpp"

#include <algorithm>
#include <string>
#include <variant>

#include <doctest/doctest.h>

#include "sim/cycle/run.hpp"
#include "sim/machine/load.hpp"

using namespace ovenproof;

namespace {

machine::Machine bronze() {
  auto loaded =
      machine::load_file(std::string(SOURCE_DIR) + "/scenarios/machines/bronze_strip_160.yaml");
  REQUIRE(std::holds_alternative<machine::Machine>(loaded));
  return std::get<machine::Machine>(std::move(loaded));
}

struct Whole {
  cycle::RunResult result;
  double reading_degC = 0.0;
};

/// One cycle of the whole firmware on the whole board.
Whole run(const machine::Machine& m) {
  Whole whole;
  cycle::Plan plan;
  plan.cycles = 1;
  whole.result = cycle::run({m.plant, m.settings, {}, {}}, plan,
                            [&whole](const rig::Rig& rig) {
                              const plant::SensorState& s = rig.plant().state().sensors;
                              whole.reading_degC = std::max(
                                  whole.reading_degC, plant::to_degC(std::max(s.te_a_K, s.te_b_K)));
                            },
                            {});
  return whole;
}

}  // namespace

TEST_CASE("the course that check works out is that of the whole oven") {
  const machine::Machine m = bronze();
  const machine::ThermalCourse course = machine::thermal_course(m);
  const Whole whole = run(m);
  REQUIRE(whole.result.cycles_completed == 1);
  CHECK(course.reading_degC == doctest::Approx(whole.reading_degC).epsilon(0.001));
  REQUIRE(course.settled_s);
  CHECK(*course.settled_s ==
        doctest::Approx(whole.result.cycles.front().cool_down_s.value()).epsilon(0.03));
}

TEST_CASE("an oven whose course passes the limit trips, and one below does not") {
  machine::Machine m = bronze();
  m.settings.control = {};
  m.plant.heater.power_W = 24'000.0;
  m.settings.programme.segments[0].ramp_K_per_min = 14.0F;
  const machine::ThermalCourse course = machine::thermal_course(m);
  for (const float off_K : {-2.0F, 2.0F}) {
    m.settings.temperature.high_limit = Celsius{static_cast<float>(course.reading_degC) + off_K};
    const Whole whole = run(m);
    CAPTURE(off_K);
    CHECK(whole.result.first_trip.has_value() == (off_K < 0.0F));
    if (whole.result.first_trip) {
      CHECK(whole.result.first_trip->cause == logic::Cause::over_temperature);
    }
  }
}
