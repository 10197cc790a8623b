#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

namespace {

// An oven that heats: both contactors in, fan on, inert.
Bench hot_bench() {
  Bench bench(oven_220_L(), {20.0, 0.0, true});
  bench.act.k1 = bench.act.k2 = bench.act.fan = true;
  bench.act.heater_drive = 1.0;
  bench.run(1.0);
  return bench;
}

}  // namespace

TEST_CASE("a defeated contact 1 of the door hides the open door from controller and chain") {
  Bench bench = hot_bench();
  bench.hands.door_open = true;
  bench.run(3.0);
  CHECK(bench.truth().heater_W == 0.0);

  bench = hot_bench();
  bench.oven.set_fault(Fault::door_contact_1_defeated, 1.0);
  bench.hands.door_open = true;
  bench.run(3.0);
  CHECK(bench.truth().door_opening == 1.0);
  CHECK(bench.field().door_contact_1);
  CHECK_FALSE(bench.field().door_contact_2);
  CHECK(bench.truth().heater_W > 0.0);
}

TEST_CASE("a chain that is bridged across one contact leaves its read-back and the others alone") {
  struct Link {
    Fault fault;
    void (*demand)(Bench&);
    bool Field::*read_back;
  };
  const Link links[] = {
      {Fault::chain_door_bridged, [](Bench& b) { b.hands.door_open = true; },
       &Field::door_contact_1},
      {Fault::chain_estop_bridged, [](Bench& b) { b.hands.estop_pressed = true; },
       &Field::estop_healthy},
      {Fault::chain_limiter_bridged,
       [](Bench& b) { b.oven.set_fault(Fault::heater_switch_shorted, 1.0); },
       &Field::limiter_healthy},
  };
  for (const Link& broken : links) {
    for (const Link& demanded : links) {
      CAPTURE(info(broken.fault).name);
      CAPTURE(info(demanded.fault).name);
      Parameters p = oven_220_L();
      p.limiter.set_point_degC = 60.0;
      Bench bench(p, {20.0, 0.0, true});
      bench.act.k1 = bench.act.k2 = bench.act.fan = true;
      bench.run(1.0);
      bench.oven.set_fault(broken.fault, 1.0);
      demanded.demand(bench);
      bench.run_until([&](const Plant& oven) { return !(oven.field().*demanded.read_back); },
                      1800.0);
      bench.run(1.0);
      CHECK_FALSE(bench.field().*demanded.read_back);
      CHECK(bench.truth().k1_closed == (broken.fault == demanded.fault));
    }
  }
}

TEST_CASE("an open chain drops both contactors, and nothing else shows it") {
  Bench bench = hot_bench();
  bench.oven.set_fault(Fault::chain_open, 1.0);
  bench.run(1.0);
  CHECK_FALSE(bench.truth().k1_closed);
  CHECK_FALSE(bench.truth().k2_closed);
  CHECK(bench.field().door_contact_1);
  CHECK(bench.field().limiter_healthy);
  CHECK(bench.field().estop_healthy);
}

TEST_CASE("one pole that is welded lets a third of the power through, and the mirror shows it") {
  Bench bench = hot_bench();
  const double full_W = bench.truth().heater_W;
  bench.oven.set_fault(Fault::k1_pole_welded, 1.0);
  bench.run(1.0);
  CHECK(bench.truth().heater_W == full_W);
  bench.act.k1 = false;
  bench.run(1.0);
  CHECK(bench.truth().heater_W == near(full_W / 3.0, 1e-9));
  CHECK(bench.truth().k1_closed);
  CHECK_FALSE(bench.field().k1_mirror);
  bench.act.k2 = false;
  bench.run(1.0);
  CHECK(bench.truth().heater_W == 0.0);
  CHECK(bench.field().k2_mirror);
  // One that never closed has nothing to weld.
  Bench open;
  open.oven.set_fault(Fault::k2_pole_welded, 1.0);
  open.run(1.0);
  CHECK_FALSE(open.truth().k2_closed);
}

TEST_CASE(
    "gas from a pipe that is off proves its flow, leaves the chamber in air and fills the room") {
  for (const bool purge : {true, false}) {
    CAPTURE(purge);
    Bench sound;
    Bench broken;
    broken.oven.set_fault(purge ? Fault::purge_pipe_off : Fault::process_pipe_off, 1.0);
    for (Bench* each : {&sound, &broken}) {
      (purge ? each->act.purge_valve : each->act.process_valve) = true;
      each->run(600.0);
    }
    CHECK((purge ? broken.field().purge_flow : broken.field().process_flow));
    CHECK(broken.truth().oxygen > 0.2);
    CHECK(sound.truth().oxygen < 0.15);
    CHECK(broken.truth().room_oxygen < sound.truth().room_oxygen);
    CHECK(broken.truth().gas_used_L == near(sound.truth().gas_used_L, 1e-3));
  }
}

TEST_CASE("a regulator that fails open passes up to three times the flow") {
  Bench sound;
  Bench half;
  Bench whole;
  half.oven.set_fault(Fault::regulator_failed_open, 0.5);
  whole.oven.set_fault(Fault::regulator_failed_open, 1.0);
  for (Bench* each : {&sound, &half, &whole}) {
    each->act.purge_valve = true;
    each->run(60.0);
  }
  CHECK(half.truth().purge_L_per_min == near(2.0 * sound.truth().purge_L_per_min, 1e-6));
  CHECK(whole.truth().purge_L_per_min == near(3.0 * sound.truth().purge_L_per_min, 1e-6));
  CHECK(whole.truth().pressure_Pa > 2.0 * sound.truth().pressure_Pa);
}

TEST_CASE("impure gas leaves its share of air in the chamber") {
  for (const double share : {0.01, 1.0}) {
    Bench bench(oven_220_L(), {20.0, 0.0, true});
    bench.oven.set_fault(Fault::supply_impure, share);
    bench.act.purge_valve = bench.act.fan = true;
    bench.run(3600.0);
    CHECK(bench.truth().oxygen == near(share * air_oxygen, 0.01));
  }
}

TEST_CASE(
    "a blocked sample line keeps its gas, a nearly blocked one follows a hundred times as slow") {
  const auto reads_mV = [](double blocked) {
    Bench bench(oven_220_L(), {20.0, air_oxygen, true});
    bench.oven.set_fault(Fault::oxygen_sample_blocked, blocked);
    bench.act.purge_valve = bench.act.fan = true;
    bench.run(900.0);
    return bench.field().oxygen_cell_mV;
  };
  const double sound = reads_mV(0.0);
  CHECK(std::abs(reads_mV(1.0)) < 1.0);  // air against air
  CHECK(sound > 100.0);
  CHECK(reads_mV(0.99) > 20.0);
  CHECK(reads_mV(0.99) < sound - 10.0);
}

TEST_CASE("combustible gas hides 1 % of oxygen at most, and air still looks like air") {
  const auto oxygen_seen = [](double oxygen, double severity) {
    Bench bench(oven_220_L(), {20.0, oxygen, true});
    bench.oven.set_fault(Fault::oxygen_combustibles, severity);
    bench.run(30.0);
    // Nernst at 750 degC against air, in mV.
    return air_oxygen * std::exp(-bench.field().oxygen_cell_mV * 4.0 / (0.0861733 * 1023.15));
  };
  CHECK(oxygen_seen(0.002, 0.0) == near(0.002, 0.01));
  CHECK(oxygen_seen(0.002, 0.1) == near(0.001, 0.02));
  CHECK(oxygen_seen(0.002, 1.0) < 2e-7);
  CHECK(oxygen_seen(air_oxygen, 1.0) == near(air_oxygen - 0.01, 0.01));
}
