#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

namespace {

constexpr double set_Pa = 60.0, band_Pa = 50.0, most = 10.0, sweep = 2.0;

Parameters blanketed() {
  Parameters p = oven_220_L();
  p.blanket.pressure_Pa = set_Pa;
  p.blanket.band_Pa = band_Pa;
  p.blanket.max_L_per_min = most;
  return p;
}

Parameters swept() {
  Parameters p = blanketed();
  p.blanket.sweep_L_per_min = sweep;
  return p;
}

Parameters with_door_valve() {
  Parameters p = swept();
  p.door.gas_valve_opening = 0.04;
  return p;
}

/// Hot, full of inert gas and let alone: nothing is energised.
Bench let_alone(const Parameters& p, double seconds, Fault fault = Fault::fan_slow,
                double severity = 0.0) {
  Bench bench(p, {500.0, 10e-6, true});
  bench.oven.set_fault(fault, severity);
  bench.run(seconds);
  return bench;
}

/// Settled, closed and cold.
Truth at_rest(const Parameters& p, Fault fault = Fault::fan_slow, double severity = 0.0) {
  Bench bench(p);
  bench.oven.set_fault(fault, severity);
  bench.run(3600.0);
  return bench.truth();
}

/// With both valves open and the door opened by `seconds` of its two.
Truth door_opened(const Parameters& p, double seconds, Fault fault = Fault::fan_slow,
                  double severity = 0.0) {
  Bench bench(p);
  bench.oven.set_fault(fault, severity);
  bench.act.purge_valve = bench.act.process_valve = true;
  bench.run(10.0);
  bench.hands.door_open = true;
  bench.run(seconds);
  return bench.truth();
}

}  // namespace

TEST_CASE("a blanket holds a hot chamber that is let alone above the room's pressure") {
  const Bench bare = let_alone(oven_220_L(), 4.0 * 3600.0);
  CHECK(bare.truth().pressure_Pa < 0.0);
  CHECK(bare.truth().oxygen > 5000e-6);
  Bench held(swept(), {500.0, 10e-6, true});
  double lowest_Pa = INFINITY, highest = 0.0;
  for (int i = 0; i < 4 * 3600; ++i) {
    held.run(1.0);
    lowest_Pa = std::min(lowest_Pa, held.truth().pressure_Pa);
    highest = std::max(highest, held.truth().oxygen);
  }
  CHECK(lowest_Pa > 0.0);
  CHECK(held.oven.state().books[book::air_in_mol] == 0.0);
  // The air that diffuses in against the sweep; less while the gas still shrinks.
  const double mixes = sweep * (1.0 - held.oven.parameters().mixing.bypass_still);
  CHECK(highest < air_oxygen * 0.003 / mixes);
}

TEST_CASE("a blanket without a sweep keeps the pressure but gathers the air that diffuses in") {
  const Truth t = let_alone(blanketed(), 4.0 * 3600.0).truth();
  CHECK(t.pressure_Pa > 0.0);
  CHECK(t.oxygen > 1000e-6);
}

TEST_CASE("the regulator's flow is proportional to the lack of pressure, up to its largest flow") {
  Parameters p = blanketed();
  p.tightness.seal_conductance_L_per_min_Pa = 0.05;
  const double slope = most / band_Pa;
  const Truth t = at_rest(p);
  CHECK(t.pressure_Pa == near(set_Pa * slope / (slope + 0.05), 1e-6));
  CHECK(t.blanket_L_per_min == near(slope * (set_Pa - t.pressure_Pa), 1e-6));

  p.tightness.seal_conductance_L_per_min_Pa = 0.9;
  p.blanket.max_L_per_min = 5.0;
  const Truth wide = at_rest(p);
  CHECK(wide.blanket_L_per_min == near(5.0, 1e-9));
  CHECK(wide.pressure_Pa == near(5.0 / 0.9, 1e-6));

  // Closed while the chamber is full, which a path makes it.
  Bench purged(blanketed());
  purged.act.purge_valve = true;
  purged.run(600.0);
  CHECK(purged.truth().pressure_Pa > set_Pa);
  CHECK(purged.truth().blanket_L_per_min == 0.0);
  CHECK(purged.truth().gas_L_per_min == near(purged.truth().purge_L_per_min, 1e-12));
}

TEST_CASE("what the blanket passes is gas taken from the supply, and needs its pressure") {
  Bench bench(swept());
  bench.run(3600.0);
  const Truth t = bench.truth();
  CHECK(t.gas_L_per_min == near(t.blanket_L_per_min, 1e-12));
  CHECK(t.gas_used_L == near(60.0 * sweep, 0.03));
  bench.oven.set_fault(Fault::supply_failing, 1.0);
  bench.run(60.0);
  CHECK(bench.truth().blanket_L_per_min == 0.0);
}

TEST_CASE("each fault of the blanket does what it says") {
  const Parameters p = swept();
  const Truth sound = at_rest(p);
  CHECK(sound.blanket_L_per_min == near(sweep, 0.01));
  // The sweep alone keeps the exhaust open.
  CHECK(sound.pressure_Pa > p.exhaust.cracking_pressure_Pa);

  CHECK(at_rest(p, Fault::blanket_stuck_open, 1.0).blanket_L_per_min == near(sweep + most, 1e-6));
  CHECK(at_rest(p, Fault::blanket_stuck_open, 0.1).blanket_L_per_min ==
        near(sweep + 0.1 * most, 1e-6));
  CHECK(at_rest(p, Fault::blanket_sweep_blocked, 0.5).blanket_L_per_min == near(0.5 * sweep, 0.01));
  const Truth clogged = at_rest(p, Fault::blanket_sweep_blocked, 1.0);
  CHECK(clogged.pressure_Pa < set_Pa);
  CHECK(clogged.pressure_Pa > 0.9 * set_Pa);

  const Parameters bare = blanketed();
  CHECK(at_rest(bare, Fault::blanket_set_low, 0.5).pressure_Pa ==
        near(0.5 * at_rest(bare).pressure_Pa, 1e-3));
  // Five times its pressure is above cracking: gas flows without end.
  const Truth high = at_rest(bare, Fault::blanket_set_high, 1.0);
  CHECK(high.exhaust_L_per_min == near(most, 0.05));
  CHECK(at_rest(bare, Fault::blanket_stuck_closed, 1.0).blanket_L_per_min == 0.0);
  Parameters tight = bare;
  tight.tightness.seal_conductance_L_per_min_Pa = 0.0;
  CHECK(let_alone(tight, 3600.0, Fault::blanket_stuck_closed, 1.0).truth().pressure_Pa < -5000.0);
}

TEST_CASE("the door's gas valve shuts both paths and the blanket as the door opens") {
  const Parameters p = with_door_valve();
  const Truth closed = door_opened(p, 0.0);
  CHECK(closed.door_gas_valve == 1.0);
  CHECK(closed.purge_L_per_min > 99.0);
  CHECK(closed.process_L_per_min > 24.0);
  const Truth at_2_percent = door_opened(p, 0.04);
  CHECK(at_2_percent.door_gas_valve == near(1.0, 1e-9));
  const Truth at_3_percent = door_opened(p, 0.06);
  CHECK(at_3_percent.door_gas_valve == near(0.5, 1e-9));
  CHECK(at_3_percent.purge_L_per_min == near(50.0, 0.01));
  for (const double seconds : {0.08, 2.0, 60.0}) {
    const Truth open = door_opened(p, seconds);
    CHECK(open.door_gas_valve == 0.0);
    CHECK(open.gas_L_per_min == 0.0);
  }
  CHECK(door_opened(swept(), 60.0).gas_L_per_min > 100.0);
}

TEST_CASE("the door's gas valve opens again as the door closes") {
  Bench bench(with_door_valve());
  bench.hands.door_open = true;
  bench.run(60.0);
  CHECK(bench.truth().blanket_L_per_min == 0.0);
  bench.hands.door_open = false;
  bench.run(3.0);
  CHECK(bench.truth().blanket_L_per_min > sweep);
}

TEST_CASE("each fault of the door's gas valve does what it says") {
  const Parameters p = with_door_valve();
  CHECK(door_opened(p, 60.0, Fault::door_gas_valve_stuck_open, 1.0).purge_L_per_min ==
        near(100.0, 1e-3));
  CHECK(door_opened(p, 60.0, Fault::door_gas_valve_stuck_open, 0.1).purge_L_per_min ==
        near(10.0, 1e-3));
  CHECK(door_opened(p, 0.0, Fault::door_gas_valve_stuck_closed, 1.0).gas_L_per_min == 0.0);
  CHECK(door_opened(p, 0.0, Fault::door_gas_valve_stuck_closed, 0.5).purge_L_per_min ==
        near(50.0, 0.01));
  // Shut at 34 % instead of 4 %.
  CHECK(door_opened(p, 0.64, Fault::door_gas_valve_late, 0.6).door_gas_valve == near(1.0, 1e-9));
  CHECK(door_opened(p, 0.68, Fault::door_gas_valve_late, 0.6).gas_L_per_min == 0.0);
}

TEST_CASE("the blanket is integrated in steps short enough for it") {
  const auto run = [](double longest_s, Fault fault) {
    Parameters p = swept();
    p.chamber.volume_m3 = 0.02;
    p.blanket.max_L_per_min = 100.0;  // acts as 30 ms
    p.blanket.band_Pa = 1.0;
    Timing timing;
    timing.longest_s = longest_s;
    Bench bench(p, {900.0, 0.01, true}, timing);
    bench.oven.set_fault(fault, 1.0);
    bench.run(60.0);
    return bench.truth();
  };
  for (const Fault fault : {Fault::blanket_sweep_blocked, Fault::non_return_stuck_open}) {
    const Truth each = run(0.01, fault), several = run(0.1, fault);
    CHECK(several.pressure_Pa == near(each.pressure_Pa, 1e-3));
    CHECK(several.blanket_L_per_min == near(each.blanket_L_per_min, 1e-2));
  }
}

TEST_CASE("an oven without blanket and door valve has no faults of them") {
  const auto after = [](Fault fault, double severity) {
    Bench bench;
    bench.oven.set_fault(fault, severity);
    bench.act.fan = bench.act.process_valve = true;
    bench.run(60.0);
    bench.hands.door_open = true;
    bench.run(60.0);
    return bench.oven.state().y;
  };
  for (const Fault fault :
       {Fault::blanket_stuck_closed, Fault::blanket_stuck_open, Fault::blanket_set_high,
        Fault::blanket_set_low, Fault::blanket_sweep_blocked, Fault::door_gas_valve_stuck_open,
        Fault::door_gas_valve_stuck_closed, Fault::door_gas_valve_late}) {
    CHECK(after(fault, 1.0) == after(fault, 0.0));
  }
}
