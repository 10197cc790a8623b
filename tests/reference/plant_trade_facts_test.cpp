/// What people who run such ovens take for granted: common practice, no source. The oven is a test
/// fixture of about 220 L, no real machine.
#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::oven_220_L;

namespace {

struct CoolDown {
  double minutes;
  double mean_kW;  ///< heat lost by everything inside the casing
};

// From 420 to 200 degC at the load, under process gas and fan.
CoolDown cool_down(bool damper, bool blower) {
  Bench bench(oven_220_L(), {420.0, 28e-6, true});
  bench.act.fan = bench.act.process_valve = true;
  bench.act.damper_open = damper;
  bench.act.blower = blower;
  const double before_J = bench.oven.stored_energy_J();
  const double s =
      bench.run_until([](const Plant& o) { return o.truth().load_degC <= 200.0; }, 100 * 3600.0);
  return {s / 60.0, (before_J - bench.oven.stored_energy_J()) / s / 1e3};
}

}  // namespace

TEST_CASE("purged at 100 L/min it reaches 50 ppm, and left longer approaches 10 ppm") {
  Bench bench;
  bench.act.fan = bench.act.purge_valve = true;
  const double gate_s =
      bench.run_until([](const Plant& o) { return o.truth().oxygen <= 50e-6; }, 7200.0);
  CHECK(gate_s > 600.0);
  CHECK(gate_s < 1800.0);
  bench.run(1200.0);
  CHECK(bench.truth().oxygen < 15e-6);
  CHECK(bench.truth().oxygen > 5e-6);
}

TEST_CASE("process flow well below purge flow holds the level") {
  Bench bench(oven_220_L(), {20.0, 50e-6, true});
  REQUIRE(bench.oven.parameters().supply.process_L_per_min <=
          0.25 * bench.oven.parameters().supply.purge_L_per_min);
  bench.act.fan = bench.act.process_valve = true;
  for (int i = 0; i < 8 * 60; ++i) {
    bench.run(60.0);
    CHECK(bench.truth().oxygen < 51e-6);
  }
}

TEST_CASE("jacket air of 120 L/s cools it from 420 to 200 degC in about 25 min at some 10 kW") {
  const CoolDown forced = cool_down(true, true);
  CHECK(forced.minutes > 19.0);
  CHECK(forced.minutes < 31.0);
  CHECK(forced.mean_kW > 8.0);
  CHECK(forced.mean_kW < 14.0);
  // Comparable to its heating rate.
  const double heater_kW = oven_220_L().heater.power_W / 1e3;
  CHECK(forced.mean_kW > 0.6 * heater_kW);
  CHECK(forced.mean_kW < 1.5 * heater_kW);
}

TEST_CASE("without jacket cooling the same drop takes many hours, the damper being closed") {
  const double with_jacket_min = cool_down(false, false).minutes;
  CHECK(with_jacket_min > 4.0 * 60.0);

  // The closed damper's draught costs little against an oven that has no jacket at all.
  Parameters none = oven_220_L();
  none.cooling.fitted = false;
  Bench bench(none, {420.0, 28e-6, true});
  bench.act.fan = bench.act.process_valve = true;
  const double without_jacket_min =
      bench.run_until([](const Plant& o) { return o.truth().load_degC <= 200.0; }, 100 * 3600.0) /
      60.0;
  CHECK(without_jacket_min > with_jacket_min);
  CHECK(without_jacket_min < 1.15 * with_jacket_min);
}

TEST_CASE("with the damper open the chimney alone cools it, unduly for an oven that should hold") {
  const double chimney_min = cool_down(true, false).minutes;
  CHECK(chimney_min > 2.0 * cool_down(true, true).minutes);
  CHECK(chimney_min < 0.5 * cool_down(false, false).minutes);
}
