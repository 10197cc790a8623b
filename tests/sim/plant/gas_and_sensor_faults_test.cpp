#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::oven_220_L;

namespace {

// Oxygen after an hour of process flow and fan from an inert start, with one fault.
double oxygen_after_an_hour(Fault fault, double severity) {
  Bench bench(oven_220_L(), {20.0, 28e-6, true});
  bench.oven.set_fault(fault, severity);
  bench.act.fan = bench.act.process_valve = true;
  bench.run(3600.0);
  return bench.truth().oxygen;
}

}  // namespace

TEST_CASE("a leaking seal raises the oxygen floor in proportion to its severity") {
  const double sound = oxygen_after_an_hour(Fault::seal_leaking, 0.0);
  const double tenth = oxygen_after_an_hour(Fault::seal_leaking, 0.1);
  const double fifth = oxygen_after_an_hour(Fault::seal_leaking, 0.2);
  CHECK(sound < 40e-6);
  CHECK(tenth > 2000e-6);
  CHECK((fifth - sound) / (tenth - sound) == doctest::Approx(2.0).epsilon(0.05));
}

TEST_CASE("a non-return valve stuck open lets air diffuse back and be drawn back") {
  CHECK(oxygen_after_an_hour(Fault::non_return_stuck_open, 1.0) > 2000e-6);

  Bench bench(oven_220_L(), {400.0, 28e-6, true});
  bench.oven.set_fault(Fault::non_return_stuck_open, 1.0);
  bench.act.damper_open = bench.act.blower = bench.act.fan = true;
  bench.run(300.0);
  CHECK(bench.truth().exhaust_L_per_min < 0.0);
  CHECK(bench.truth().pressure_Pa > -50.0);  // drawn in, so hardly any suction
  CHECK(bench.truth().oxygen > 0.01);
}

TEST_CASE("a non-return valve stuck open no longer holds the chamber above the room") {
  const auto pressure_at = [](double severity) {
    Bench bench;
    bench.oven.set_fault(Fault::non_return_stuck_open, severity);
    bench.act.process_valve = true;
    bench.run(600.0);
    return bench.truth().pressure_Pa;
  };
  const double cracking_Pa = oven_220_L().exhaust.cracking_pressure_Pa;
  CHECK(pressure_at(0.0) > cracking_Pa);
  CHECK(pressure_at(0.0) - pressure_at(0.5) == doctest::Approx(0.5 * cracking_Pa).epsilon(0.01));
  CHECK(pressure_at(0.0) - pressure_at(1.0) == doctest::Approx(cracking_Pa).epsilon(0.01));
}

TEST_CASE("a leaking seal lets out its conductance times the pressure") {
  Bench bench;
  bench.oven.set_fault(Fault::seal_leaking, 1.0);
  bench.act.purge_valve = true;
  bench.run(600.0);
  const TightnessParameters& t = bench.oven.parameters().tightness;
  CHECK(bench.truth().leak_L_per_min ==
        doctest::Approx(bench.truth().pressure_Pa * (t.seal_conductance_L_per_min_Pa +
                                                     t.failed_seal_conductance_L_per_min_Pa)));
  CHECK(bench.truth().leak_L_per_min > 15.0);
}

TEST_CASE("an exhaust that passes nothing lets purge gas burst the pressure limit") {
  for (const Fault fault : {Fault::exhaust_blocked, Fault::non_return_stuck_closed}) {
    Bench bench;
    bench.oven.set_fault(fault, 1.0);
    bench.act.purge_valve = true;
    const double limit_Pa = bench.oven.parameters().chamber.max_pressure_Pa;
    const double over_s =
        bench.run_until([&](const Plant& o) { return o.truth().pressure_Pa > limit_Pa; }, 60.0);
    CHECK(over_s < 10.0);
    CHECK(bench.truth().exhaust_L_per_min == 0.0);
  }
}

TEST_CASE("an exhaust half blocked doubles the pressure above cracking") {
  const auto above_cracking = [](double severity) {
    Bench bench;
    bench.oven.set_fault(Fault::exhaust_blocked, severity);
    bench.act.purge_valve = true;
    bench.run(60.0);
    return bench.truth().pressure_Pa - bench.oven.parameters().exhaust.cracking_pressure_Pa;
  };
  CHECK(above_cracking(0.5) / above_cracking(0.0) == doctest::Approx(2.0).epsilon(0.02));
}

TEST_CASE("a failing supply opens its switch and starves the flow") {
  Bench bench;
  bench.act.purge_valve = true;
  bench.oven.set_fault(Fault::supply_failing, 0.5);
  bench.run(5.0);
  CHECK_FALSE(bench.field().supply_ok);
  CHECK(bench.truth().purge_L_per_min == doctest::Approx(100.0));  // the regulator still copes
  bench.oven.set_fault(Fault::supply_failing, 0.9);
  bench.run(5.0);
  CHECK(bench.truth().purge_L_per_min == doctest::Approx(40.0).epsilon(0.02));
  CHECK_FALSE(bench.field().purge_flow);
  bench.oven.set_fault(Fault::supply_failing, 1.0);
  bench.run(5.0);
  CHECK(bench.truth().purge_L_per_min == 0.0);
}

TEST_CASE("a starved supply starves the process path as it does the purge path") {
  Bench bench;
  bench.act.process_valve = true;
  bench.oven.set_fault(Fault::supply_failing, 0.9);
  bench.run(5.0);
  CHECK(bench.truth().process_L_per_min == doctest::Approx(10.0).epsilon(0.02));
  CHECK_FALSE(bench.field().process_flow);
}

TEST_CASE("a chamber that cannot vent ends at the pressure of its supply, and no higher") {
  Parameters p = oven_220_L();
  p.tightness.seal_conductance_L_per_min_Pa = 0.0;
  Bench bench(p);
  bench.oven.set_fault(Fault::exhaust_blocked, 1.0);
  bench.around.supply_kPa = 150.0;
  bench.act.purge_valve = true;
  bench.run(3600.0);
  CHECK(bench.truth().pressure_Pa == doctest::Approx(150e3).epsilon(1e-3));
  CHECK(bench.truth().purge_L_per_min < 0.1);
}

TEST_CASE("a slipped thermocouple feels the casing, the other one does not") {
  for (const bool first : {true, false}) {
    Bench bench(oven_220_L(), {400.0, 28e-6, true});
    const double before_mV = bench.field().thermocouple_a_mV;
    bench.act.fan = true;
    bench.oven.set_fault(first ? Fault::thermocouple_a_slipped : Fault::thermocouple_b_slipped,
                         1.0);
    bench.run(120.0);
    const double slipped =
        first ? bench.field().thermocouple_a_mV : bench.field().thermocouple_b_mV;
    const double sound = first ? bench.field().thermocouple_b_mV : bench.field().thermocouple_a_mV;
    CHECK(slipped < 0.15 * before_mV);
    CHECK(sound > 0.95 * before_mV);
    bench.oven.set_fault(first ? Fault::thermocouple_a_slipped : Fault::thermocouple_b_slipped,
                         0.5);
    bench.run(120.0);
    const double half = first ? bench.field().thermocouple_a_mV : bench.field().thermocouple_b_mV;
    CHECK(half > 0.4 * before_mV);
    CHECK(half < 0.65 * before_mV);
  }
}

TEST_CASE("neither a slipped limiter thermocouple nor a failed limiter stops an overheating oven") {
  const auto hottest = [](Fault fault, double severity) {
    Parameters p = oven_220_L();
    p.limiter.set_point_degC = 300.0;
    Bench bench(p);
    bench.oven.set_fault(fault, severity);
    bench.act.k1 = bench.act.k2 = bench.act.fan = true;
    bench.act.heater_drive = 1.0;
    bench.run(3600.0);
    return bench.truth().gas_degC;
  };
  CHECK(hottest(Fault::limiter_failed, 0.0) < 310.0);
  CHECK(hottest(Fault::limiter_failed, 1.0) > 450.0);
  CHECK(hottest(Fault::limiter_thermocouple_slipped, 1.0) > 450.0);
}

TEST_CASE("a failed limiter that has tripped already stays tripped") {
  Parameters p = oven_220_L();
  p.limiter.set_point_degC = 300.0;
  Bench bench(p, {310.0, 28e-6, true});
  bench.run(1.0);
  REQUIRE_FALSE(bench.field().limiter_healthy);
  bench.oven.set_fault(Fault::limiter_failed, 1.0);
  bench.run(10.0);
  CHECK_FALSE(bench.field().limiter_healthy);
}

TEST_CASE("an oxygen cell without heat goes cold, its emf dies and its transmitter tells") {
  Bench bench(oven_220_L(), {20.0, 28e-6, true});
  bench.act.process_valve = bench.act.fan = true;
  bench.run(60.0);
  const double warm_mV = bench.field().oxygen_cell_mV;
  REQUIRE(warm_mV > 150.0);
  bench.oven.set_fault(Fault::oxygen_cell_heater_failed, 1.0);
  bench.run(60.0);
  CHECK(bench.field().oxygen_transmitter_mA == 3.5);
  CHECK(bench.field().oxygen_cell_mV < warm_mV);  // reads high in oxygen if 750 degC is assumed
  bench.run(1800.0);
  CHECK(bench.field().oxygen_cell_mV < 1.0);
  CHECK(bench.field().oxygen_cell_tc_mV < 1.0);
}

TEST_CASE("a cracked oxygen cell reads high, never low") {
  const auto cell_mV = [](double severity) {
    Bench bench(oven_220_L(), {20.0, 28e-6, true});
    bench.oven.set_fault(Fault::oxygen_cell_cracked, severity);
    bench.act.process_valve = bench.act.fan = true;
    bench.run(60.0);
    return bench.field().oxygen_cell_mV;
  };
  CHECK(cell_mV(0.01) < 0.7 * cell_mV(0.0));
  CHECK(std::fabs(cell_mV(1.0)) < 0.1);
}
