#include <initializer_list>

#include <doctest/doctest.h>

#include "oxygen_bench.hpp"
#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;
using namespace ovenproof::conditioning::testing;

TEST_CASE("an honest oxygen sensor is trusted over whole cycles") {
  Bench bench;
  for (int cycle = 0; cycle < 3; ++cycle) {
    bench.door(true);
    bench.run(10.0);
    bench.door(false);
    bench.purge(true);
    bench.run(30.0);
    bench.purge(false);
    bench.process(true);
    bench.chamber_degC = 550.0;
    bench.run(120.0);
    bench.chamber_degC = 60.0;
    bench.process(false);
    bench.leak_L_min = 0.05;
    bench.run(20.0);
    CHECK(bench.trust.faults() == OxygenFaults{});
  }
}

TEST_CASE(
    "for any mixing, leak, lag, noise and heat an oven can have an honest sensor is trusted") {
  test::check_property(
      0x5eed06,
      [] {
        Bench bench;
        bench.mixing = *rc::gen::inRange(10, 31) / 10.0;
        bench.bypass = *rc::gen::inRange(0, 40) / 100.0;
        bench.leak_L_min = *rc::gen::inRange(0, 86) / 100.0 / bench.mixing;  // plateau below floor
        bench.lag_s = *rc::gen::inRange(1, 40);
        bench.noise = *rc::gen::inRange(0, 20) / 1000.0;
        for (int phase = 0; phase < 8; ++phase) {
          bench.door(*rc::gen::inRange(0, 4) == 0);
          const int gas = *rc::gen::inRange(0, 3);
          bench.purge(gas == 1 && !bench.now.door_fully_open);
          bench.process(gas == 2 && !bench.now.door_fully_open);
          bench.chamber_degC = *rc::gen::inRange(15, 600);
          bench.run(*rc::gen::inRange(1, 400) / 10.0);
          const OxygenFaults& f = bench.trust.faults();
          RC_LOG() << "not_air " << f.not_air << " not_falling " << f.not_falling << " too_low "
                   << f.too_low_too_soon << " frozen " << f.frozen << " at " << bench.sensed_ppm
                   << " ppm\n";
          RC_ASSERT(f == OxygenFaults{});
        }
      },
      400);
}

TEST_CASE("a sensor that does not read air with the door open is at fault") {
  for (const double shown : {50.0, 150'000.0, 240'000.0}) {
    Bench bench;
    bench.sensor_frozen = true;
    bench.sensed_ppm = shown;
    bench.noise = 0.02;
    bench.door(true);
    bench.run(2.9);
    CHECK_FALSE(bench.trust.faults().any());
    bench.run(0.3);
    CHECK(bench.trust.faults() == OxygenFaults{.not_air = true});
    CHECK_FALSE(bench.trust.trusted());
  }
}

TEST_CASE("a door open too short for air to come in demands nothing of the sensor") {
  Bench bench;
  bench.sensor_frozen = true;
  bench.sensed_ppm = 50.0;
  bench.noise = 0.001;
  for (int i = 0; i < 5; ++i) {
    bench.door(true);
    bench.run(2.5);
    bench.door(false);
    bench.run(1.0);
  }
  CHECK_FALSE(bench.trust.faults().not_air);
}

TEST_CASE("a sensor that stays at air during the purge is not falling") {
  Bench bench = loaded();
  bench.sensor_frozen = true;
  bench.noise = 0.02;  // alive in its counts, so that only the level can tell
  bench.purge(true);
  bench.run(30.0);
  CHECK(bench.trust.faults().not_falling);
  CHECK_FALSE(bench.trust.faults().frozen);
}

TEST_CASE("gas that flows unproven or uncommanded is allowed for when the reading falls") {
  for (const bool commanded : {true, false}) {
    Bench bench = loaded();
    bench.lag_s = 1.0;
    bench.now.purge_commanded = commanded;
    bench.now.purge_flow_proven = !commanded;
    bench.run(10.0);
    CHECK_FALSE(bench.trust.faults().any());
  }
}

TEST_CASE("purge flow does not count while the door is not proven closed") {
  Bench bench;
  bench.now.door_proven_closed = false;  // ajar
  bench.purge(true);
  bench.leak_L_min = 1000.0;
  bench.run(60.0);
  bench.now.door_proven_closed = true;
  bench.leak_L_min = 0.0;
  bench.run(20.0);
  CHECK_FALSE(bench.trust.faults().any());
}

TEST_CASE("a chamber that air enters faster than the purge removes it is not falling") {
  Bench bench = loaded();
  bench.leak_L_min = 10.0;  // floor of 19,000 ppm
  bench.purge(true);
  bench.run(60.0);
  CHECK(bench.trust.faults().not_falling);
}

TEST_CASE("no flow, no demand that the oxygen should fall") {
  Bench bench = loaded();
  bench.noise = 0.001;
  bench.run(300.0);
  CHECK_FALSE(bench.trust.faults().any());
  bench.sensor_frozen = true;
  bench.now.purge_commanded = true;  // commanded but not proven: another fault's business
  bench.run(300.0);
  CHECK_FALSE(bench.trust.faults().not_falling);
}

TEST_CASE("a sensor that reads low before the flow can have purged the chamber is at fault") {
  Bench bench = loaded();
  bench.purge(true);
  bench.run(0.5);  // a third of a volume
  bench.sensor_frozen = true;
  bench.sensed_ppm = 40.0;
  bench.noise = 0.01;
  bench.run(0.2);
  CHECK(bench.trust.faults().too_low_too_soon);
}

TEST_CASE("an exhaust that sees mostly fresh gas is at fault, the chamber is not purged") {
  Bench bench = loaded();
  bench.lag_s = 5.0;
  bench.bypass = 0.95;
  bench.mixing = 20.0;
  bench.purge(true);
  bench.run(2.0);
  CHECK(bench.trust.faults().too_low_too_soon);
}

TEST_CASE("without a door opening long enough nothing is too low, for nothing is known") {
  Bench bench;
  bench.chamber_ppm = bench.sensed_ppm = 40.0;
  bench.noise = 0.001;
  bench.purge(true);
  bench.run(30.0);
  CHECK_FALSE(bench.trust.faults().any());
}

TEST_CASE("a reading frozen to the count during the purge is at fault") {
  Bench bench = loaded();
  bench.purge(true);
  bench.run(1.5);
  bench.sensor_frozen = true;
  bench.run(2.9);
  CHECK_FALSE(bench.trust.faults().frozen);
  bench.run(0.2);
  CHECK(bench.trust.faults().frozen);
}

TEST_CASE("the noise of a few counts keeps no frozen reading alive") {
  Bench bench = loaded();
  bench.purge(true);
  bench.run(1.5);
  bench.sensor_frozen = true;
  bench.noise = 0.001;  // 1.3 counts
  bench.run(3.1);
  CHECK(bench.trust.faults().frozen);
}

TEST_CASE("a reading frozen low while the open door lets air in is at fault") {
  Bench bench;
  bench.sensor_frozen = true;
  bench.sensed_ppm = 50.0;
  bench.door(true);
  bench.run(3.1);
  CHECK(bench.trust.faults().frozen);
}

TEST_CASE("a cell voltage that stands still while the cell's temperature moves is at fault") {
  const auto drift_to = [](float degC, double shown, Reason cell = Reason::none) {
    Bench bench;
    bench.sensor_frozen = true;
    bench.sensed_ppm = shown;
    bench.process(true);
    bench.now.cell_temperature = {Celsius(750.0F), Reason::none};
    bench.run(10.0);
    CHECK_FALSE(bench.trust.faults().frozen);
    bench.now.cell_temperature = {Celsius(degC), cell};
    bench.run(3.1);
    return bench.trust.faults().frozen;
  };
  CHECK(drift_to(758.0F, 50.0));
  CHECK(drift_to(742.0F, 50.0));
  CHECK_FALSE(drift_to(757.0F, 50.0));
  CHECK_FALSE(drift_to(742.0F, 50.0, Reason::over_range));  // not known where the cell is
  CHECK_FALSE(drift_to(742.0F, air));  // in air a cell gives no voltage at any temperature
}

TEST_CASE("a steady reading is no fault while nothing says that it must change") {
  Bench bench;
  bench.chamber_ppm = bench.sensed_ppm = 30.0;
  bench.sensor_frozen = true;
  bench.run(600.0);
  bench.process(true);
  bench.run(600.0);
  CHECK_FALSE(bench.trust.faults().any());
}

TEST_CASE("warm-up is waited for, up to its maximum") {
  Bench bench;
  bench.reason = Reason::warming_up;
  bench.run(39.9);
  CHECK(bench.trust.trusted());
  bench.run(0.2);
  CHECK(bench.trust.faults().warm_up_overdue);
  bench.trust.acknowledge();  // waits as long once more
  bench.run(39.8);
  CHECK(bench.trust.trusted());
  bench.run(0.3);
  CHECK(bench.trust.faults().warm_up_overdue);
}

TEST_CASE("a warm-up that was overdue and ends after all is forgiven without a reset") {
  Bench bench;
  bench.reason = Reason::warming_up;
  bench.run(40.2);
  REQUIRE(bench.trust.faults().warm_up_overdue);
  bench.reason = Reason::none;
  bench.run(0.1);
  CHECK(bench.trust.trusted());
}

TEST_CASE("a cell that warms up again after it was valid is waited for and no longer") {
  Bench bench;
  bench.run(1.0);
  bench.reason = Reason::warming_up;
  bench.run(39.9);
  CHECK(bench.trust.trusted());
  bench.run(0.2);
  CHECK(bench.trust.faults().warm_up_overdue);
}

TEST_CASE("a transmitter that gives no measurement from the start is overdue as well") {
  Bench bench;
  bench.reason = Reason::loop_failure_low;
  bench.run(40.1);
  CHECK(bench.trust.faults().warm_up_overdue);
}

TEST_CASE("a reading lost after it was once valid is not a warm-up") {
  Bench bench;
  bench.run(1.0);
  bench.reason = Reason::open_circuit;
  bench.run(100.0);
  CHECK_FALSE(bench.trust.faults().any());
}

TEST_CASE("an invalid reading is not judged, and the judgements start anew after it") {
  Bench bench;
  bench.sensor_frozen = true;
  bench.sensed_ppm = 50.0;
  bench.noise = 0.001;
  bench.reason = Reason::warming_up;
  bench.door(true);
  bench.run(20.0);
  CHECK_FALSE(bench.trust.faults().any());
  bench.reason = Reason::none;
  bench.run(2.9);
  CHECK_FALSE(bench.trust.faults().not_air);
  bench.run(0.3);
  CHECK(bench.trust.faults().not_air);
}

TEST_CASE("a reading lost for a moment starts the time with the door open again") {
  Bench bench;
  bench.sensor_frozen = true;
  bench.sensed_ppm = 50.0;
  bench.noise = 0.001;
  bench.door(true);
  bench.run(2.9);
  bench.reason = Reason::open_circuit;
  bench.run(0.1);
  bench.reason = Reason::none;
  bench.run(2.9);
  CHECK_FALSE(bench.trust.faults().any());
  bench.run(0.3);
  CHECK(bench.trust.faults().not_air);
}

TEST_CASE("a fault stays until acknowledged, and comes back while its cause lasts") {
  Bench bench;
  bench.sensor_frozen = true;
  bench.sensed_ppm = 50.0;
  bench.noise = 0.001;
  bench.door(true);
  bench.run(4.0);
  REQUIRE(bench.trust.faults().not_air);
  bench.sensor_frozen = false;
  bench.sensed_ppm = air;
  bench.run(10.0);
  CHECK(bench.trust.faults().not_air);
  bench.trust.acknowledge();
  CHECK(bench.trust.trusted());
  bench.run(10.0);
  CHECK(bench.trust.trusted());
  bench.sensor_frozen = true;
  bench.sensed_ppm = 50.0;
  bench.run(4.0);
  REQUIRE(bench.trust.faults().not_air);
  bench.trust.acknowledge();
  bench.run(4.0);
  CHECK(bench.trust.faults().not_air);
}
