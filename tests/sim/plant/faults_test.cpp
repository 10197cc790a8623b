#include "sim/plant/faults.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::oven_220_L;

namespace {

// The same oven with and without one fault; `prepare` sets the scene before the fault.
template <class Prepare>
Bench with_fault(Fault fault, double severity, const InitialCondition& initial, Prepare prepare) {
  Bench bench(oven_220_L(), initial);
  prepare(bench);
  bench.oven.set_fault(fault, severity);
  return bench;
}

Bench with_fault(Fault fault, double severity = 1.0, const InitialCondition& initial = {}) {
  return with_fault(fault, severity, initial, [](Bench&) {});
}

}  // namespace

TEST_CASE("every fault has one name, finds itself by it, and says what it does") {
  for (const FaultInfo& entry : fault_table) {
    CHECK(find_fault(entry.name) == entry.fault);
    CHECK(info(entry.fault).name == entry.name);
    CHECK(entry.meaning.size() > 10);
  }
  CHECK_FALSE(find_fault("no_such_fault").has_value());
  CHECK_FALSE(find_fault("").has_value());
}

TEST_CASE("severity is held in 0..1 and 0 mends") {
  Bench bench;
  bench.oven.set_fault(Fault::fan_slow, 7.0);
  CHECK(bench.oven.faults()[Fault::fan_slow] == 1.0);
  bench.oven.set_fault(Fault::fan_slow, -2.0);
  CHECK_FALSE(bench.oven.faults().has(Fault::fan_slow));
  bench.oven.set_fault(Fault::fan_slow, NAN);
  CHECK_FALSE(bench.oven.faults().has(Fault::fan_slow));
  Faults all;
  all[Fault::fan_stopped] = 1.0;
  bench.oven.set_faults(all);
  CHECK(bench.oven.faults() == all);
}

TEST_CASE("a mended oven behaves as one that never failed") {
  Bench mended = with_fault(Fault::blower_failed), sound;
  mended.run(1.0);
  sound.run(1.0);
  mended.oven.set_fault(Fault::blower_failed, 0.0);
  for (Bench* bench : {&mended, &sound}) {
    bench->act.blower = bench->act.damper_open = true;
    bench->run(60.0);
  }
  CHECK(mended.field().blower_airflow);
  CHECK(mended.truth().jacket_kg_per_s == sound.truth().jacket_kg_per_s);
}

TEST_CASE("a purge valve stuck open passes gas that nobody asked for, in proportion") {
  Bench bench = with_fault(Fault::purge_valve_stuck_open, 0.4);
  bench.run(5.0);
  CHECK(bench.truth().purge_L_per_min == doctest::Approx(40.0));
  bench.oven.set_fault(Fault::purge_valve_stuck_open, 1.0);
  bench.run(5.0);
  CHECK(bench.field().purge_flow);
  CHECK(bench.truth().process_L_per_min == 0.0);
}

TEST_CASE("a process valve stuck open passes gas that nobody asked for") {
  Bench bench = with_fault(Fault::process_valve_stuck_open);
  bench.run(5.0);
  CHECK(bench.truth().process_L_per_min == doctest::Approx(25.0));
  CHECK(bench.field().process_flow);
  CHECK(bench.truth().purge_L_per_min == 0.0);
}

TEST_CASE("a purge valve stuck closed passes no more than is left") {
  Bench bench = with_fault(Fault::purge_valve_stuck_closed, 0.5);
  bench.act.purge_valve = true;
  bench.run(5.0);
  CHECK(bench.truth().purge_L_per_min == doctest::Approx(50.0));
  bench.oven.set_fault(Fault::purge_valve_stuck_closed, 1.0);
  bench.run(5.0);
  CHECK(bench.truth().purge_L_per_min == 0.0);
  CHECK_FALSE(bench.field().purge_flow);
}

TEST_CASE("a process valve stuck closed passes nothing") {
  Bench bench = with_fault(Fault::process_valve_stuck_closed);
  bench.act.process_valve = true;
  bench.run(5.0);
  CHECK(bench.truth().process_L_per_min == 0.0);
}

TEST_CASE("slow valves take their fifty-one strokes") {
  Bench bench = with_fault(Fault::purge_valve_slow);
  bench.oven.set_fault(Fault::process_valve_slow, 1.0);
  bench.act.purge_valve = bench.act.process_valve = true;
  const double stroke_s = 51.0 * bench.oven.parameters().supply.purge_valve_stroke_s;
  bench.run(0.5 * stroke_s);
  CHECK(bench.truth().purge_valve == doctest::Approx(0.5).epsilon(1e-6));
  CHECK(bench.truth().process_valve == doctest::Approx(0.5).epsilon(1e-6));
  bench.run(0.6 * stroke_s);
  CHECK(bench.truth().purge_valve == 1.0);
}

TEST_CASE("a welded contactor stays closed when its coil drops, its mirror contact tells") {
  for (const bool first : {true, false}) {
    Bench bench;
    bench.oven.set_fault(first ? Fault::k1_welded : Fault::k2_welded, 1.0);
    bench.run(1.0);
    CHECK(bench.field().k1_mirror);  // an open contactor cannot weld shut
    CHECK(bench.field().k2_mirror);
    bench.act.k1 = bench.act.k2 = true;
    bench.run(1.0);
    bench.act.k1 = bench.act.k2 = false;
    bench.run(1.0);
    CHECK(bench.truth().k1_closed == first);
    CHECK(bench.truth().k2_closed == !first);
    CHECK(bench.field().k1_mirror == !first);
    CHECK(bench.field().k2_mirror == first);
    bench.hands.estop_pressed = true;  // nor does the chain open it
    bench.run(1.0);
    CHECK(bench.truth().k1_closed == first);
  }
}

TEST_CASE("both contactors welded heat through an emergency stop and an open door") {
  Bench bench;
  bench.oven.set_fault(Fault::k1_welded, 1.0);
  bench.oven.set_fault(Fault::k2_welded, 1.0);
  bench.act.k1 = bench.act.k2 = true;
  bench.act.heater_drive = 1.0;
  bench.run(1.0);
  bench.hands.estop_pressed = bench.hands.door_open = true;
  bench.run(5.0);
  CHECK(bench.truth().heater_W == 12000.0);
}

TEST_CASE("a contactor that does not pull stays open, or lets go if it was in") {
  for (const bool first : {true, false}) {
    const Fault fault = first ? Fault::k1_not_pulling : Fault::k2_not_pulling;
    Bench bench;
    bench.act.k1 = bench.act.k2 = true;
    bench.run(1.0);
    REQUIRE(bench.truth().k1_closed);
    bench.oven.set_fault(fault, 1.0);
    bench.run(1.0);
    CHECK(bench.truth().k1_closed == !first);
    CHECK(bench.truth().k2_closed == first);
    CHECK(bench.field().k1_mirror == first);
  }
}

TEST_CASE("a shorted heater switch heats without drive while the contactors are in") {
  Bench bench = with_fault(Fault::heater_switch_shorted);
  bench.run(1.0);
  CHECK(bench.truth().heater_W == 0.0);
  bench.act.k1 = bench.act.k2 = true;
  bench.run(1.0);
  CHECK(bench.truth().heater_W == 12000.0);
}

TEST_CASE("a broken element takes its share of the power") {
  Bench bench = with_fault(Fault::element_broken, 1.0 / 3.0);
  bench.act.k1 = bench.act.k2 = true;
  bench.act.heater_drive = 1.0;
  bench.run(1.0);
  CHECK(bench.truth().heater_W == doctest::Approx(8000.0));
}

TEST_CASE("a stopped fan runs down and loses its proof") {
  Bench bench = with_fault(Fault::fan_stopped, 1.0, {}, [](Bench& b) {
    b.act.fan = true;
    b.run(10.0);
    REQUIRE(b.field().fan_airflow);
  });
  bench.run(1.0);
  CHECK(bench.truth().fan_airflow > 0.5);  // runs down, does not vanish
  bench.run(10.0);
  CHECK(bench.truth().fan_airflow == 0.0);
  CHECK_FALSE(bench.field().fan_airflow);
}

TEST_CASE("a slow fan reaches what is left of its speed and is not proven below the threshold") {
  Bench bench = with_fault(Fault::fan_slow, 0.2);
  bench.act.fan = true;
  bench.run(10.0);
  CHECK(bench.truth().fan_airflow == doctest::Approx(0.8));
  CHECK(bench.field().fan_airflow);
  bench.oven.set_fault(Fault::fan_slow, 0.5);
  bench.run(10.0);
  CHECK(bench.truth().fan_airflow == doctest::Approx(0.5));
  CHECK_FALSE(bench.field().fan_airflow);
}

TEST_CASE("a stuck damper stays where it was") {
  Bench bench = with_fault(Fault::damper_stuck, 1.0, {}, [](Bench& b) {
    b.act.damper_open = true;
    b.run(6.0);
  });
  const double stuck_at = bench.truth().damper_opening;
  CHECK(stuck_at == doctest::Approx(0.5));
  bench.run(30.0);
  CHECK(bench.truth().damper_opening == stuck_at);
  bench.act.damper_open = false;
  bench.run(30.0);
  CHECK(bench.truth().damper_opening == stuck_at);
  CHECK_FALSE(bench.field().damper_at_open);
  CHECK_FALSE(bench.field().damper_at_closed);
}

TEST_CASE("a damper stuck open lets the chimney cool a hot oven that should hold its heat") {
  const InitialCondition hot{420.0, 20e-6, true};
  Bench stuck = with_fault(Fault::damper_stuck_open, 1.0, hot);
  Bench sound(oven_220_L(), hot);
  stuck.run(1800.0);
  sound.run(1800.0);
  CHECK(stuck.field().damper_at_open);
  CHECK_FALSE(stuck.field().damper_at_closed);
  CHECK(sound.truth().wall_degC - stuck.truth().wall_degC > 50.0);
}

TEST_CASE("a damper stuck closed leaves the blowers nothing to blow through") {
  Bench bench = with_fault(Fault::damper_stuck_closed, 1.0, {420.0, 20e-6, true});
  bench.act.damper_open = bench.act.blower = true;
  bench.run(60.0);
  CHECK(bench.truth().damper_opening == 0.0);
  CHECK(bench.truth().blower_speed == 1.0);
  CHECK_FALSE(bench.field().blower_airflow);
  CHECK(bench.truth().jacket_W < 1000.0);
}

TEST_CASE("failed blowers leave the chimney alone to cool and no airflow proof") {
  Bench bench = with_fault(Fault::blower_failed, 1.0, {420.0, 20e-6, true});
  bench.act.damper_open = bench.act.blower = true;
  bench.run(60.0);
  CHECK(bench.truth().blower_speed == 0.0);
  CHECK_FALSE(bench.field().blower_airflow);
  CHECK(bench.truth().jacket_W > 1000.0);
  bench.oven.set_fault(Fault::blower_failed, 0.5);
  bench.run(20.0);
  CHECK(bench.truth().blower_speed == doctest::Approx(0.5));
}
