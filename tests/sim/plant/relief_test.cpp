#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

namespace {

constexpr double relief_Pa = 1000.0, vacuum_relief_Pa = 2000.0;

Parameters relieved() {
  Parameters p = oven_220_L();
  p.exhaust.relief_pressure_Pa = relief_Pa;
  p.exhaust.relief_conductance_L_per_min_Pa = 0.4;
  p.chamber.vacuum_relief_pressure_Pa = vacuum_relief_Pa;
  p.chamber.vacuum_relief_conductance_L_per_min_Pa = 0.1;
  return p;
}

/// Purged for `seconds` with its exhaust blocked.
Bench blocked(const Parameters& p, double seconds, Fault fault = Fault::exhaust_blocked,
              double severity = 1.0) {
  Bench bench(p);
  bench.oven.set_fault(Fault::exhaust_blocked, 1.0);
  bench.oven.set_fault(fault, severity);
  bench.act.purge_valve = true;
  bench.run(seconds);
  return bench;
}

/// Sealed, full of inert gas at 500 degC and cooled for half an hour by its jacket.
Bench cooled(Parameters p, Fault fault = Fault::fan_slow, double severity = 0.0) {
  p.tightness.seal_conductance_L_per_min_Pa = 0.0;
  p.tightness.air_ingress_L_per_min = 0.0;
  Bench bench(p, {500.0, 0.0, true});
  bench.oven.set_fault(fault, severity);
  bench.act.fan = bench.act.damper_open = bench.act.blower = true;
  bench.run(1800.0);
  return bench;
}

/// Oxygen after an hour of process flow from an inert start.
double oxygen_with(Fault fault, double severity) {
  Bench bench(relieved(), {20.0, 28e-6, true});
  bench.oven.set_fault(fault, severity);
  bench.act.fan = bench.act.process_valve = true;
  bench.run(3600.0);
  return bench.truth().oxygen;
}

}  // namespace

TEST_CASE("with the exhaust blocked the pressure is the relief pressure plus flow / conductance") {
  for (const double conductance : {0.2, 0.4, 0.9}) {
    Parameters p = relieved();
    p.exhaust.relief_conductance_L_per_min_Pa = conductance;
    const Truth t = blocked(p, 3600.0).truth();
    const double through = t.purge_L_per_min - t.leak_L_per_min;
    CHECK(through > 98.0);
    CHECK(t.pressure_Pa == near(relief_Pa + through / conductance, 1e-6));
    CHECK(t.relief_L_per_min == near(through, 1e-6));
    CHECK(t.exhaust_L_per_min == 0.0);
  }
}

TEST_CASE("an open relief valve stands still, however wide it is") {
  Parameters p = relieved();
  p.exhaust.relief_conductance_L_per_min_Pa = 10.0;
  Bench bench(p, {900.0, 0.0, true});  // hot gas evens out its pressure four times as quickly
  bench.oven.set_fault(Fault::exhaust_blocked, 1.0);
  bench.act.purge_valve = true;
  bench.run(60.0);
  double lowest_Pa = INFINITY, highest_Pa = 0.0;
  for (int i = 0; i < 1000; ++i) {
    bench.scan();
    lowest_Pa = std::min(lowest_Pa, bench.truth().pressure_Pa);
    highest_Pa = std::max(highest_Pa, bench.truth().pressure_Pa);
  }
  CHECK(highest_Pa - lowest_Pa < 1.0);
  CHECK(lowest_Pa > relief_Pa);
}

TEST_CASE("relief valves that stay shut change nothing") {
  const auto after = [](const Parameters& p) {
    Bench bench(p);
    bench.act.fan = bench.act.purge_valve = true;
    bench.run(600.0);
    bench.act.purge_valve = false;
    bench.act.process_valve = bench.act.k1 = bench.act.k2 = true;
    bench.act.heater_drive = 1.0;
    bench.run(600.0);
    return bench.oven.state().y;
  };
  CHECK(after(relieved()) == after(oven_220_L()));
}

TEST_CASE("a relief valve stuck closed relieves nothing, one half stuck at twice the pressure") {
  const double limit_Pa = oven_220_L().chamber.max_pressure_Pa;
  const auto at = [](double severity) {
    return blocked(relieved(), 60.0, Fault::relief_stuck_closed, severity).truth().pressure_Pa;
  };
  CHECK(at(1.0) > 5.0 * limit_Pa);
  CHECK(at(0.0) < limit_Pa);
  CHECK((at(0.5) - relief_Pa) / (at(0.0) - relief_Pa) == doctest::Approx(2.0).epsilon(0.02));
}

TEST_CASE("a relief valve that leaks lets out gas below its pressure, and lets in air") {
  Bench bench(relieved());
  bench.oven.set_fault(Fault::relief_leaking, 0.1);
  bench.act.purge_valve = true;
  bench.run(3600.0);
  const Truth t = bench.truth();
  const ExhaustParameters& e = bench.oven.parameters().exhaust;
  CHECK(t.pressure_Pa < relief_Pa);
  CHECK(t.relief_L_per_min == near(0.1 * *e.relief_conductance_L_per_min_Pa * t.pressure_Pa, 1e-6));
  CHECK(t.exhaust_L_per_min ==
        near(e.conductance_L_per_min_Pa * (t.pressure_Pa - e.cracking_pressure_Pa), 1e-6));

  const double sound = oxygen_with(Fault::relief_leaking, 0.0);
  const double tenth = oxygen_with(Fault::relief_leaking, 0.1);
  const double whole = oxygen_with(Fault::relief_leaking, 1.0);
  CHECK(sound < 40e-6);
  CHECK((whole - sound) / (tenth - sound) == doctest::Approx(10.0).epsilon(0.1));
  CHECK(whole == doctest::Approx(oxygen_with(Fault::non_return_stuck_open, 1.0)).epsilon(0.05));

  const Bench cold = cooled(relieved(), Fault::relief_leaking, 1.0);
  CHECK(cold.truth().relief_L_per_min < 0.0);
  CHECK(cold.truth().pressure_Pa > -50.0);
  CHECK(cold.truth().oxygen > 0.01);
}

TEST_CASE("a vacuum relief valve holds a sealed oven that cools, with air of the room") {
  const Bench tight = cooled(oven_220_L());
  CHECK(tight.truth().pressure_Pa < -20e3);
  CHECK(tight.truth().oxygen < 1e-12);

  const Bench held = cooled(relieved());
  const Truth t = held.truth();
  const double conductance = *held.oven.parameters().chamber.vacuum_relief_conductance_L_per_min_Pa;
  CHECK(t.vacuum_relief_L_per_min > 0.5);
  CHECK(t.pressure_Pa == near(-vacuum_relief_Pa - t.vacuum_relief_L_per_min / conductance, 1e-6));
  const double in_mol = held.oven.state().books[book::air_in_mol];
  const double now_mol = held.oven.state().y[at::gas];
  CHECK(in_mol == near(now_mol - tight.oven.state().y[at::gas], 1e-9));
  CHECK(t.oxygen == near(air_oxygen * in_mol / now_mol, 1e-6));
}

TEST_CASE("a vacuum relief valve stuck closed holds nothing, one that leaks lets in air") {
  CHECK(cooled(relieved(), Fault::vacuum_relief_stuck_closed, 1.0).truth().pressure_Pa < -20e3);
  const Truth leaking = cooled(relieved(), Fault::vacuum_relief_leaking, 1.0).truth();
  CHECK(leaking.pressure_Pa > -200.0);
  CHECK(leaking.leak_L_per_min < -0.5);

  const double sound = oxygen_with(Fault::vacuum_relief_leaking, 0.0);
  const double tenth = oxygen_with(Fault::vacuum_relief_leaking, 0.1);
  CHECK(sound < 40e-6);
  CHECK(tenth > 300e-6);
}

TEST_CASE("what a relief valve lets out lowers the oxygen of the room unless it is ducted") {
  const auto room = [](bool ducted) {
    Parameters p = relieved();
    p.exhaust.ducted = ducted;
    p.tightness.seal_conductance_L_per_min_Pa = 0.0;
    return blocked(p, 3600.0).truth().room_oxygen;
  };
  CHECK(room(true) == near(air_oxygen, 1e-4));
  CHECK(room(false) < air_oxygen - 0.002);
}

TEST_CASE("an oven without relief valves has no faults of them") {
  for (const Fault fault : {Fault::relief_stuck_closed, Fault::relief_leaking,
                            Fault::vacuum_relief_stuck_closed, Fault::vacuum_relief_leaking}) {
    const auto after = [](Fault each, double severity) {
      Bench bench;
      bench.oven.set_fault(each, severity);
      bench.act.fan = bench.act.process_valve = true;
      bench.run(600.0);
      return bench.oven.state().y;
    };
    CHECK(after(fault, 1.0) == after(fault, 0.0));
  }
}
