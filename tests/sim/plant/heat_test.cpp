#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"
#include "sim/plant/jacket.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

TEST_CASE("an oven at room temperature stays there") {
  Bench bench;
  bench.run(3600.0);
  CHECK(bench.truth().gas_degC == doctest::Approx(20.0).epsilon(1e-9));
  CHECK(bench.truth().load_inside_degC == doctest::Approx(20.0).epsilon(1e-9));
}

TEST_CASE("full power heats elements first, then gas, wall and load, and the inside last") {
  Bench bench(oven_220_L(), {20.0, 0.0, false});
  bench.act.fan = bench.act.k1 = bench.act.k2 = true;
  bench.act.heater_drive = 1.0;
  bench.run(300.0);
  const Truth t = bench.truth();
  CHECK(t.element_degC > t.gas_degC);
  CHECK(t.gas_degC > t.wall_degC);
  CHECK(t.gas_degC > t.load_degC);
  CHECK(t.load_degC > t.load_inside_degC + 1.0);
  CHECK(t.insulation_inner_degC > t.insulation_outer_degC);
  CHECK(t.energy_kWh == doctest::Approx(1.0).epsilon(0.001));
}

TEST_CASE("without the fan the elements run away from the gas") {
  const auto excess = [](bool fan) {
    Bench bench(oven_220_L(), {20.0, 0.0, false});
    bench.act.fan = fan;
    bench.act.k1 = bench.act.k2 = true;
    bench.act.heater_drive = 1.0;
    bench.run(300.0);
    return bench.truth().element_degC - bench.truth().gas_degC;
  };
  CHECK(excess(false) > 2.0 * excess(true));
}

TEST_CASE("forced convection falls with fan speed to the power 0.8, down to the still oven's") {
  const Parameters p = oven_220_L();
  for (const double speed : {0.0, 0.25, 0.5, 1.0}) {
    Positions at;
    at.fan = speed;
    const Coefficients k = coefficients(p, at, {});
    const auto expected = [speed](double still, double full) {
      return still + (full - still) * std::pow(speed, 0.8);
    };
    CHECK(
        k.element_gas ==
        near(expected(p.heater.convection_still_W_per_K, p.heater.convection_fan_W_per_K), 1e-12));
    CHECK(k.gas_wall ==
          near(expected(p.wall.convection_still_W_per_K, p.wall.convection_fan_W_per_K), 1e-12));
    CHECK(k.gas_load ==
          near(expected(p.load.convection_still_W_per_K, p.load.convection_fan_W_per_K), 1e-12));
  }
}

TEST_CASE("power is what the drive asks, held within nothing and full") {
  Bench bench;
  bench.act.k1 = bench.act.k2 = true;
  bench.run(0.1);
  const auto power_at = [&](double drive) {
    bench.act.heater_drive = drive;
    bench.scan();
    return bench.truth().heater_W;
  };
  CHECK(power_at(0.25) == 3000.0);
  CHECK(power_at(7.0) == 12000.0);
  CHECK(power_at(-1.0) == 0.0);
  CHECK(power_at(NAN) == 0.0);
}

TEST_CASE("steady heat loss is the chamber's excess over the insulation's resistance") {
  const Parameters p = oven_220_L();
  Bench bench(p, {400.0, 0.0, false});
  const double R = 1.0 / p.insulation.wall_inner_W_per_K + 1.0 / p.insulation.inner_outer_W_per_K +
                   1.0 / p.insulation.outer_casing_W_per_K + 1.0 / p.insulation.casing_room_W_per_K;
  const Truth t = bench.truth();
  CHECK((t.casing_degC - 20.0) * p.insulation.casing_room_W_per_K ==
        doctest::Approx(380.0 / R).epsilon(1e-9));
}

TEST_CASE("an open door chills the load far faster than a closed oven does") {
  const auto load_after = [](bool open) {
    Bench bench(oven_220_L(), {400.0, 0.0, false});
    bench.hands.door_open = open;
    bench.run(300.0);
    return bench.truth().load_degC;
  };
  CHECK(load_after(false) > 395.0);
  CHECK(400.0 - load_after(true) > 5.0 * (400.0 - load_after(false)));
}

TEST_CASE("the damper's area falls from its table's open value to nothing, never rising") {
  // Loss coefficient at 0, 10 .. 80 degrees of closure,
  // from memory: ASHRAE Duct Fitting Database, CR9-1: check against the source.
  const double loss[] = {0.19, 0.67, 1.76, 4.38, 11.2, 32.0, 113.0, 619.0, 10350.0};
  for (int i = 0; i <= 8; ++i) {
    CHECK(damper_area(1.0 - i / 9.0) == near(1.0 / std::sqrt(loss[i]), 1e-9));
  }
  CHECK(damper_area(0.0) == 0.0);
  double last = damper_area(1.0);
  for (int i = 1; i <= 1000; ++i) {
    const double area = damper_area(1.0 - i / 1000.0);
    CHECK(area < last);
    CHECK(last - area < 0.02);  // no jump, not even where the table ends
    last = area;
  }
}

TEST_CASE("nominal airflow passes at full blower and open damper, with nominal effectiveness") {
  const CoolingParameters p = oven_220_L().cooling;
  const JacketFlow flow = jacket_flow(p, 1.0, 1.0, 293.15, 293.15);
  const double nominal = 0.120 * air_density;
  CHECK(flow.kg_per_s == doctest::Approx(nominal).epsilon(1e-3));
  const double mcp = nominal * air_specific_heat;
  CHECK(flow.W_per_K == doctest::Approx(mcp * (1.0 - std::exp(-p.ua_W_per_K / mcp))).epsilon(1e-3));
}

TEST_CASE("the chimney draws through an open damper, little through a closed one, none cold") {
  const CoolingParameters p = oven_220_L().cooling;
  const double hot = to_K(420.0), room = to_K(20.0);
  const JacketFlow open = jacket_flow(p, 0.0, 1.0, hot, room);
  const JacketFlow closed = jacket_flow(p, 0.0, 0.0, hot, room);
  CHECK(open.W_per_K * 400.0 > 3000.0);
  CHECK(closed.W_per_K * 400.0 < 150.0);
  CHECK(jacket_flow(p, 0.0, 1.0, room, room).W_per_K == 0.0);
  CoolingParameters none = p;
  none.fitted = false;
  CHECK(jacket_flow(none, 1.0, 1.0, hot, room).W_per_K == 0.0);
}

TEST_CASE("an oven without jacket cooling has no damper or blower to command") {
  Parameters p = oven_220_L();
  p.cooling.fitted = false;
  Bench bench(p, {420.0, 20e-6, true});
  bench.act.damper_open = bench.act.blower = true;
  bench.run(60.0);
  CHECK(bench.truth().damper_opening == 0.0);
  CHECK(bench.truth().blower_speed == 0.0);
  CHECK(bench.truth().jacket_kg_per_s == 0.0);
  CHECK_FALSE(bench.field().blower_airflow);
}

TEST_CASE("more opening or more blower never cools less") {
  const CoolingParameters p = oven_220_L().cooling;
  for (int blower = 0; blower <= 10; ++blower) {
    double last = -1.0;
    for (int opening = 0; opening <= 50; ++opening) {
      const double now = jacket_flow(p, blower / 10.0, opening / 50.0, 600.0, 293.0).W_per_K;
      CHECK(now >= last);
      CHECK(jacket_flow(p, blower / 10.0 + 0.05, opening / 50.0, 600.0, 293.0).W_per_K > now);
      last = now;
    }
  }
}

TEST_CASE("the tabulated jacket conductance is within 2e-4 of the formula 60 K above the room") {
  const Parameters p = oven_220_L();
  Positions at;
  at.damper = 1.0;
  for (double wall_K = 353.0; wall_K < 900.0; wall_K += 0.7) {
    const JacketSegment segment = jacket_segment(p.cooling, at, wall_K, 293.15);
    CHECK(segment.holds(wall_K));
    CHECK(segment.conductance_W_per_K(wall_K) ==
          near(jacket_flow(p.cooling, 0.0, 1.0, wall_K, 293.15).W_per_K, 2e-4));
  }
}
