#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

TEST_CASE("a closed cold oven holds air at the pressure of the surroundings") {
  Bench bench;
  bench.run(600.0);
  CHECK(bench.truth().oxygen == near(air_oxygen, 1e-12));
  CHECK(std::fabs(bench.truth().pressure_Pa) < 1e-6);
}

TEST_CASE("steady purge stands at the cracking pressure plus flow over conductance") {
  Bench bench;
  bench.act.purge_valve = true;
  bench.run(3600.0);  // until the warmth of the first compression is gone
  const Parameters p = oven_220_L();
  const double expected_Pa = p.exhaust.cracking_pressure_Pa +
                             (bench.truth().purge_L_per_min - bench.truth().leak_L_per_min) /
                                 p.exhaust.conductance_L_per_min_Pa;
  CHECK(bench.truth().pressure_Pa == doctest::Approx(expected_Pa).epsilon(1e-6));
  CHECK(bench.truth().purge_L_per_min == doctest::Approx(100.0).epsilon(1e-12));
}

TEST_CASE("heating drives gas out and cooling draws in what no flow makes up") {
  Bench bench(oven_220_L(), {20.0, 0.0, false});
  bench.act.fan = bench.act.k1 = bench.act.k2 = true;
  bench.act.heater_drive = 1.0;
  bench.run(900.0);
  const double out_mol = bench.oven.state().books[book::gas_out_mol];
  CHECK(out_mol > 2.0);
  CHECK(bench.oven.state().books[book::air_in_mol] < 1e-9);

  bench.act.k1 = bench.act.k2 = false;
  bench.act.damper_open = bench.act.blower = true;
  bench.run(900.0);
  CHECK(bench.truth().pressure_Pa < -10.0);
  CHECK(bench.oven.state().books[book::air_in_mol] > 0.1);
  CHECK(bench.truth().oxygen > 0.001);
}

TEST_CASE("process flow that makes up the shrinkage keeps air out while the oven cools") {
  Bench bench(oven_220_L(), {500.0, 20e-6, true});
  bench.act.fan = bench.act.process_valve = true;
  bench.act.damper_open = bench.act.blower = true;
  bench.run(1500.0);
  CHECK(bench.oven.state().books[book::air_in_mol] < 1e-9);
  CHECK(bench.truth().oxygen < 50e-6);
}

TEST_CASE("without the fan pockets and short-circuit keep oxygen up, and the exhaust flatters") {
  const auto purged = [](bool fan) {
    Bench bench;
    bench.act.purge_valve = true;
    bench.act.fan = fan;
    bench.run(600.0);
    return bench.truth();
  };
  const Truth stirred = purged(true), still = purged(false);
  CHECK(still.oxygen > 3.0 * stirred.oxygen);
  CHECK(still.oxygen_exhaust < 0.75 * still.oxygen_stirred);
  CHECK(still.oxygen_pockets > 2.0 * still.oxygen_stirred);
  CHECK(stirred.oxygen_exhaust > 0.95 * stirred.oxygen_stirred);
}

TEST_CASE("an open door lets air in with its time constant and vents any pressure") {
  Parameters p = oven_220_L();
  p.mixing.pocket_fraction = 0.0;
  Bench bench(p, {20.0, 0.0, false});
  bench.hands.door_open = true;
  bench.run(2.0);  // fully open after its travel
  const double at_open = bench.truth().oxygen;
  bench.run(p.door.exchange_time_s);
  const double share = (bench.truth().oxygen - at_open) / (air_oxygen - at_open);
  CHECK(share == doctest::Approx(1.0 - std::exp(-1.0)).epsilon(2e-3));
  bench.act.purge_valve = true;
  bench.run(10.0);
  CHECK(bench.truth().pressure_Pa < 50.0);
}

TEST_CASE("an oven that does not leak and is not fed keeps its oxygen whatever its temperature") {
  Parameters p = oven_220_L();
  p.tightness.air_ingress_L_per_min = 0.0;
  p.tightness.seal_conductance_L_per_min_Pa = 0.0;
  Bench bench(p, {400.0, 0.01, false});
  bench.act.fan = bench.act.damper_open = bench.act.blower = true;
  bench.run(1800.0);
  CHECK(bench.truth().oxygen == near(0.01, 1e-9));
  // Sealed and cooled: pressure falls with absolute temperature (Gay-Lussac).
  const double ratio = to_K(bench.truth().gas_degC) / to_K(400.0);
  CHECK(bench.truth().pressure_Pa + atmosphere_Pa ==
        doctest::Approx(atmosphere_Pa * ratio).epsilon(1e-9));
}

TEST_CASE("gas released into a room lowers its oxygen, a ducted exhaust does not") {
  const auto room_after_an_hour = [](bool ducted) {
    Parameters p = oven_220_L();
    p.exhaust.ducted = ducted;
    p.tightness.seal_conductance_L_per_min_Pa = 0.0;
    Bench bench(p);
    bench.act.purge_valve = true;
    bench.run(3600.0);
    return bench.truth().room_oxygen;
  };
  CHECK(room_after_an_hour(true) == near(air_oxygen, 1e-4));
  CHECK(room_after_an_hour(false) < air_oxygen - 0.002);
}

TEST_CASE("gas used is flow times time in litres at 0 degC and 101.325 kPa") {
  Bench bench;
  bench.act.purge_valve = true;
  bench.run(10.0);
  const double before_L = bench.truth().gas_used_L;
  bench.run(60.0);
  CHECK(bench.truth().gas_used_L - before_L == doctest::Approx(100.0).epsilon(1e-9));
}

TEST_CASE("argon fills an oven like nitrogen but carries less heat") {
  const auto load_after = [](Gas gas) {
    Parameters p = oven_220_L();
    p.supply.gas = gas;
    Bench bench(p, {20.0, 0.0, false});
    bench.act.fan = bench.act.k1 = bench.act.k2 = true;
    bench.act.heater_drive = 1.0;
    bench.run(600.0);
    return bench.truth();
  };
  const Truth nitrogen = load_after(Gas::nitrogen), argon = load_after(Gas::argon);
  CHECK(argon.load_degC < nitrogen.load_degC);
  CHECK(argon.element_degC > nitrogen.element_degC + 20.0);
}
