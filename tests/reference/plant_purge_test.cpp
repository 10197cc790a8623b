/// Gas side of the plant against published closed forms.
#include <array>
#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

namespace {

// An ideally stirred, tight oven: what the closed forms assume.
Parameters ideal() {
  Parameters p = oven_220_L();
  p.supply.oxygen_ppm = 0.0;
  p.supply.purge_valve_stroke_s = 0.02;
  p.tightness.air_ingress_L_per_min = 0.0;
  p.tightness.seal_conductance_L_per_min_Pa = 0.0;
  p.exhaust.cracking_pressure_Pa = 0.0;
  p.mixing.pocket_fraction = 0.0;
  p.mixing.bypass_fan = p.mixing.bypass_still = 0.0;
  return p;
}

// Gas supplied so far in chamber volumes, reckoned in moles.
double volume_changes(const Bench& bench) {
  return bench.oven.state().books[book::purge_mol] / bench.oven.state().y[at::gas];
}

}  // namespace

TEST_CASE("stirred purge takes the volume changes of sweep-through purging to each target") {
  // N = ln(C0/C). Crowl and Louvar, Chemical Process Safety: Fundamentals with Applications,
  // "sweep-through purging"; the figures are N from 20.95 %.
  struct Point {
    double target, changes;
  };
  constexpr std::array<Point, 8> points{{{0.10, 0.740},
                                         {0.05, 1.433},
                                         {0.02, 2.349},
                                         {0.01, 3.042},
                                         {0.005, 3.735},
                                         {0.001, 5.345},
                                         {100e-6, 7.647},
                                         {10e-6, 9.950}}};
  Bench bench(ideal());
  bench.act.purge_valve = true;
  for (const Point& point : points) {
    bench.run_until([&](const Plant& o) { return o.truth().oxygen <= point.target; }, 3600.0);
    // A scan of purge is 8e-5 volumes; the rise to purge pressure half a per cent of one.
    CHECK(volume_changes(bench) == doctest::Approx(point.changes).epsilon(2e-3));
  }
}

TEST_CASE("purge with impure gas approaches the impurity exponentially") {
  // C(t) = Cp + (C0 - Cp) exp(-N): same source, purge gas with some oxidant.
  Parameters p = ideal();
  p.supply.oxygen_ppm = 1000.0;
  Bench bench(p);
  bench.act.purge_valve = true;
  for (const double seconds : {60.0, 120.0, 300.0, 600.0, 1200.0}) {
    bench.run(seconds);
    const double expected = 1e-3 + (air_oxygen - 1e-3) * std::exp(-volume_changes(bench));
    CHECK(bench.truth().oxygen == near(expected, 1e-2));
  }
  CHECK(bench.truth().oxygen == near(1e-3, 1e-5));
}

TEST_CASE("a hot chamber is purged in fewer litres, in the ratio of absolute temperatures") {
  // Ideal gas: the chamber holds T0/T of the moles.
  const auto litres_to_1_percent = [](double degC) {
    Parameters p = ideal();
    p.wall.heat_capacity_J_per_K = 1e9;  // holds the temperature
    p.wall.baffles_J_per_K = 1e6;
    Bench bench(p, {degC, air_oxygen, false});
    bench.act.purge_valve = true;
    bench.run_until([](const Plant& o) { return o.truth().oxygen <= 0.01; }, 3600.0);
    return bench.truth().gas_used_L;
  };
  CHECK(litres_to_1_percent(300.0) / litres_to_1_percent(20.0) ==
        doctest::Approx(to_K(20.0) / to_K(300.0)).epsilon(2e-3));
}

TEST_CASE("the oxygen floor is leak times 0.2095 over flow, plus the gas's own oxygen") {
  // Steady state of the dilution equation, (Qp Cp + QL Ca)/(Qp + QL); Crowl and Louvar as above
  // for the equation, the first pair worked by hand: (20*10 + 0.02*209500)/20.02 = 219.3 ppm.
  const auto floor_at = [](double flow_L_per_min, double leak_L_per_min, double gas_ppm) {
    Parameters p = ideal();
    p.supply.purge_L_per_min = flow_L_per_min;
    p.supply.oxygen_ppm = gas_ppm;
    p.tightness.air_ingress_L_per_min = leak_L_per_min;
    Bench bench(p, {20.0, 1e-4, false});
    bench.act.purge_valve = true;
    bench.run(40.0 * 60.0 * 220.0 / flow_L_per_min);  // forty volumes
    return bench.truth().oxygen;
  };
  CHECK(floor_at(20e3 / 60.0, 20.0 / 60.0, 10.0) == near(219.3e-6, 3e-4));
  CHECK(floor_at(100.0, 0.003, 0.0) == near(0.003 * 0.2095 / 100.0, 1e-3));
  CHECK(floor_at(25.0, 0.003, 0.0) == near(0.003 * 0.2095 / 25.0, 1e-3));
}

TEST_CASE("a sealed chamber's overpressure decays with V over R T times the leak conductance") {
  // Pressure-decay leak test: Q = V dp/dt, so p = p0 exp(-t G R T / V) at constant temperature.
  Parameters p = ideal();
  p.tightness.seal_conductance_L_per_min_Pa = 0.002;
  p.exhaust.cracking_pressure_Pa = 1e6;
  p.wall.baffles_J_per_K = 1e6;  // isothermal
  Bench bench(p);
  bench.act.purge_valve = true;
  bench.run(3.0);
  bench.act.purge_valve = false;
  bench.run(1.0);
  const double start_Pa = bench.truth().pressure_Pa;
  CHECK(start_Pa > 1000.0);
  const double tau_s = 0.220 / (8.314462618 * 293.15 * 0.002 * mol_per_s_in_L_per_min);
  bench.run(std::round(tau_s * 100.0) / 100.0);
  CHECK(bench.truth().pressure_Pa / start_Pa == doctest::Approx(std::exp(-1.0)).epsilon(2e-3));
}

namespace {

// An oven, inert from the start, that releases `litres_per_min` into a small room.
Bench releasing(double litres_per_min, double room_m3, double air_changes_per_h) {
  Parameters p = ideal();
  p.supply.purge_L_per_min = litres_per_min;
  p.exhaust.ducted = false;
  p.room.volume_m3 = room_m3;
  p.room.air_changes_per_h = air_changes_per_h;
  Bench bench(p, {20.0, 0.0, false});
  bench.act.purge_valve = true;
  return bench;
}

// Room volume flow of 1 L/min (0 degC) at the room's 20 degC, m3/h.
constexpr double room_m3_per_h(double L_per_min) { return L_per_min * 0.06 * 293.15 / 273.15; }

}  // namespace

TEST_CASE("room oxygen follows the oxygen-deficiency model for a fan that draws out") {
  // Fermilab ES&H Manual, chapter 4240 "Oxygen Deficiency Hazards" (re-derived): C = C0 [1 -
  // (R/Q)(1 - exp(-Q t/V))] for Q > R.
  Bench bench = releasing(400.0, 50.0, 2.0);
  const double R = room_m3_per_h(400.0), Q = 100.0, V = 50.0;
  for (int hour = 1; hour <= 4; ++hour) {
    bench.run(3600.0);
    const double expected = 0.2095 * (1.0 - R / Q * (1.0 - std::exp(-Q * hour / V)));
    CHECK(bench.truth().room_oxygen == near(expected, 2e-4));
  }
  CHECK(bench.truth().room_oxygen == near(0.2095 * (1.0 - R / Q), 2e-3));  // about 15.5 %
}

TEST_CASE("a release above the ventilation displaces the room's air without end") {
  // Same source, Q <= R: C = C0 exp(-R t/V).
  Bench weak = releasing(400.0, 50.0, 0.2), stopped = releasing(400.0, 50.0, 10.0);
  stopped.around.ventilation_share = 0.0;
  const double R = room_m3_per_h(400.0);
  for (Bench* bench : {&weak, &stopped}) {
    bench->run(3600.0);
    CHECK(bench->truth().room_oxygen == near(0.2095 * std::exp(-R / 50.0), 2e-3));
  }
}

TEST_CASE("after the release the room recovers with its air changes") {
  // Same source: C = C0 - (C0 - Ce) exp(-Q t/V).
  Bench bench = releasing(400.0, 50.0, 2.0);
  bench.run(3600.0);
  bench.act.purge_valve = false;
  bench.run(10.0);
  const double end = bench.truth().room_oxygen;
  bench.run(1800.0);
  CHECK(0.2095 - bench.truth().room_oxygen == near((0.2095 - end) * std::exp(-1.0), 1e-3));
}

TEST_CASE("a ducted release leaves the room's ventilation its air, a seal's leak does not") {
  // Same source; only what reaches the room counts as R.
  Parameters p = ideal();
  p.supply.purge_L_per_min = 2000.0;  // 128 m3/h through the duct, above the room's 30 m3/h
  p.tightness.seal_conductance_L_per_min_Pa = 0.02;
  p.room.volume_m3 = 30.0;
  p.room.air_changes_per_h = 1.0;
  Bench bench(p, {20.0, 0.0, false});
  bench.act.purge_valve = true;
  bench.run(8 * 3600.0);
  const double leaked = room_m3_per_h(bench.truth().leak_L_per_min);
  REQUIRE(leaked > 1.0);
  CHECK(bench.truth().room_oxygen == near(0.2095 * (1.0 - leaked / 30.0), 2e-3));
}
