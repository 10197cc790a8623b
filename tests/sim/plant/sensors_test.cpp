#include "sim/plant/sensors.hpp"

#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "plant_oven.hpp"
#include "sim/plant/oxygen_cell.hpp"
#include "sim/plant/thermocouple_emf.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

TEST_CASE("a transport delay gives back what it took exactly its delay ago") {
  for (const double delay_s : {0.0, 0.1, 3.0, 6.2}) {
    TransportDelay line(delay_s, -1.0);
    const int delay = static_cast<int>(std::lround(delay_s / conversion_s));
    for (int i = 0; i < 500; ++i) {
      const double out = line.pass(i);
      CHECK(out == (i < delay ? -1.0 : static_cast<double>(i - delay)));
    }
  }
}

TEST_CASE("a transport delay longer than its ring follows a ramp without bias") {
  for (const double delay_s : {6.3, 10.0, 33.0, 60.0}) {
    TransportDelay line(delay_s, 0.0);
    const double delay = std::round(delay_s / conversion_s);
    double out = 0.0;
    for (int i = 0; i < 3000; ++i) {
      out = line.pass(i);
      if (i > 2.0 * delay) CHECK(out == doctest::Approx(i - delay).epsilon(1e-12));
    }
    CHECK(out > 0.0);
  }
}

TEST_CASE("a thermocouple at its terminals' temperature presents nothing") {
  const Bench bench;
  CHECK(bench.field().thermocouple_a_mV == 0.0);
  CHECK(bench.field().terminal_degC == doctest::Approx(20.0));
}

TEST_CASE("both control thermocouples settle on the gas, each after its own lag") {
  for (const ThermocoupleType type : {ThermocoupleType::k, ThermocoupleType::n}) {
    Parameters p = oven_220_L();
    p.thermocouples.type = type;
    Bench bench(p, {400.0, 1e-5, true});
    bench.act.fan = true;
    bench.run(120.0);
    const double gas_degC = bench.truth().gas_degC;
    const double cold_mV = emf_mV(type, bench.field().terminal_degC);
    CHECK(bench.field().thermocouple_a_mV ==
          doctest::Approx(emf_mV(type, gas_degC) - cold_mV).epsilon(2e-3));
    CHECK(bench.field().thermocouple_b_mV ==
          doctest::Approx(emf_mV(type, gas_degC) - cold_mV).epsilon(2e-3));
  }
}

TEST_CASE("a thermocouple's lag is first order with its time constant") {
  // Heat capacities so large that the gas stays put while the cold thermocouple warms.
  Parameters p = oven_220_L();
  p.thermocouples.a_time_constant_s = 10.0;
  SensorState sensors(p, 300.0);
  const SensorPaces pace = sensor_paces(p, 0.01);
  const Constants c = constants(p, Faults{}, Surroundings{});
  const Coefficients k = coefficients(p, Positions{}, {});
  Bench hot(p, {500.0, 0.0, false});
  StateVector y = hot.oven.state().y;
  Field field;
  sensors.te_a_met_K = to_K(500.0);
  for (int i = 0; i < 100; ++i) {  // one time constant
    convert(p, Faults{}, pace, c, k, y, false, sensors, field);
  }
  const double share = (sensors.te_a_K - 300.0) / (to_K(500.0) - 300.0);
  CHECK(share == doctest::Approx(1.0 - std::exp(-1.0)).epsilon(1e-9));
}

TEST_CASE("a thermocouple follows a ramp late by its time constant") {
  Parameters p = oven_220_L();
  p.thermocouples.a_time_constant_s = 5.0;
  SensorState sensors(p, 300.0);
  const SensorPaces pace = sensor_paces(p, 0.01);
  const Constants c = constants(p, Faults{}, Surroundings{});
  const Coefficients k = coefficients(p, Positions{}, {});
  StateVector y = Bench(p).oven.state().y;
  Field field;
  double gas_K = 300.0;
  for (int i = 0; i < 1000; ++i) {
    gas_K += 0.02;  // 0.2 K/s
    y[at::gas_energy] = (y[at::gas] * c.cv + c.baffles_J_per_K) * gas_K;
    convert(p, Faults{}, pace, c, k, y, false, sensors, field);
  }
  CHECK(gas_K - sensors.te_a_K == near(0.2 * 5.0, 1e-3));
}

TEST_CASE("the terminals creep towards the share of the casing's warmth they are given") {
  Bench bench(oven_220_L(), {550.0, 1e-5, true});
  const double casing = bench.truth().casing_degC;
  CHECK(casing > 40.0);
  CHECK(bench.field().terminal_degC == doctest::Approx(20.0 + 0.3 * (casing - 20.0)));
  bench.run(1200.0);
  CHECK(bench.field().terminal_degC > 20.0 + 0.29 * (casing - 20.0));
  bench.around.ambient_degC = 30.0;
  const double before = bench.field().terminal_degC;
  bench.run(600.0);  // one time constant: most of the share of the change that is not casing's
  CHECK(bench.field().terminal_degC - before > 0.5 * 0.7 * 10.0);
  CHECK(bench.field().terminal_degC - before < 0.9 * 10.0);
}

TEST_CASE("a cold oxygen cell shows next to nothing and its transmitter says so") {
  Bench bench(oven_220_L(), {20.0, 100e-6, false});
  CHECK(std::fabs(bench.field().oxygen_cell_mV) < 0.01);
  CHECK(bench.field().oxygen_transmitter_mA == 3.5);
  CHECK(bench.field().oxygen_cell_tc_mV == 0.0);
}

TEST_CASE("the oxygen cell warms up in about five time constants and then reads true") {
  Parameters p = oven_220_L();
  p.tightness.air_ingress_L_per_min = 0.0;
  Bench bench(p, {20.0, 100e-6, false});
  const double warm_s = bench.run_until(
      [](const Plant& o) { return o.field().oxygen_transmitter_mA >= 3.8; }, 3600.0);
  CHECK(warm_s > 2.0 * p.oxygen.warm_up_time_constant_s);
  CHECK(warm_s < 5.0 * p.oxygen.warm_up_time_constant_s);
  bench.run(5.0 * p.oxygen.warm_up_time_constant_s);
  CHECK(bench.field().oxygen_cell_mV ==
        doctest::Approx(nernst_mV(to_K(750.0), bench.truth().oxygen_exhaust)).epsilon(1e-3));
  CHECK(bench.field().oxygen_cell_tc_mV ==
        doctest::Approx(emf_type_k_mV(750.0) - emf_type_k_mV(20.0)).epsilon(1e-3));
}

TEST_CASE("oxygen shows at the cell no sooner than the transport delay") {
  Parameters p = oven_220_L();
  p.oxygen.transport_delay_s = 5.0;
  Bench bench(p, {20.0, 100e-6, true});
  const double before_mV = bench.field().oxygen_cell_mV;
  bench.hands.door_open = true;
  bench.run(4.9);
  CHECK(bench.truth().oxygen_stirred > 0.01);
  CHECK(bench.field().oxygen_cell_mV == near(before_mV, 1e-3));
  bench.run(4.0);
  CHECK(bench.field().oxygen_cell_mV < 0.6 * before_mV);
}

TEST_CASE("a transmitter maps its range onto 4 to 20 mA, linear or logarithmic, within NE 43") {
  OxygenParameters p;
  p.scale = TransmitterScale::linear;
  p.transmitter_low_ppm = 0.0;
  p.transmitter_high_ppm = 1000.0;
  CHECK(transmitter_mA(p, 500e-6) == doctest::Approx(12.0));
  CHECK(transmitter_mA(p, 1000e-6) == doctest::Approx(20.0));
  CHECK(transmitter_mA(p, 0.2095) == 20.5);
  p.scale = TransmitterScale::logarithmic;
  p.transmitter_low_ppm = 1.0;
  p.transmitter_high_ppm = 1e6;
  CHECK(transmitter_mA(p, 1e-3) == doctest::Approx(12.0));
  CHECK(transmitter_mA(p, 0.0) == 3.8);
}

TEST_CASE("the cell tells true to 0.1 mV at temperature and sags below 600 degC") {
  const OxygenParameters p;
  CHECK(loaded_cell_mV(p, to_K(750.0), 1e-3) ==
        doctest::Approx(nernst_mV(to_K(750.0), 1e-3)).epsilon(1e-4));
  CHECK(loaded_cell_mV(p, to_K(300.0), 1e-3) < 0.95 * nernst_mV(to_K(300.0), 1e-3));
  CHECK(loaded_cell_mV(p, to_K(100.0), 1e-3) < 1e-3 * nernst_mV(to_K(100.0), 1e-3));
}

TEST_CASE("each flow switch makes above its share of the regulated flow and breaks below it") {
  Bench bench;
  bench.act.purge_valve = true;
  bench.run(0.3);
  CHECK_FALSE(bench.field().purge_flow);  // stroke and lag
  bench.run(5.0);
  CHECK(bench.field().purge_flow);
  CHECK_FALSE(bench.field().process_flow);
  bench.around.supply_kPa = 77.0;  // regulators starve to 76 % of the flow, above the release
  bench.run(10.0);
  CHECK(bench.truth().purge_L_per_min == doctest::Approx(76.4).epsilon(0.01));
  CHECK(bench.field().purge_flow);
  bench.around.supply_kPa = 70.0;
  bench.run(10.0);
  CHECK_FALSE(bench.field().purge_flow);
  bench.around.supply_kPa = 77.0;  // not enough to make again
  bench.run(10.0);
  CHECK_FALSE(bench.field().purge_flow);
}

TEST_CASE("the supply switch has hysteresis") {
  Bench bench;
  const auto ok_at = [&](double kPa) {
    bench.around.supply_kPa = kPa;
    bench.scan();
    return bench.field().supply_ok;
  };
  CHECK(ok_at(250.0));
  CHECK(ok_at(231.0));
  CHECK_FALSE(ok_at(229.0));
  CHECK_FALSE(ok_at(249.0));
  CHECK(ok_at(250.0));
}

TEST_CASE("door contacts open one after the other and close in the reverse order") {
  Parameters p = oven_220_L();
  p.door.travel_s = 20.0;  // slow enough to see both
  Bench bench(p);
  bench.hands.door_open = true;
  std::vector<int> seen;
  const auto watch = [&](double seconds) {
    for (int i = 0; i < static_cast<int>(seconds * 100.0); ++i) {
      bench.scan();
      const int contacts = bench.field().door_contact_1 + 2 * bench.field().door_contact_2;
      if (seen.empty() || seen.back() != contacts) seen.push_back(contacts);
    }
  };
  watch(20.0);
  bench.hands.door_open = false;
  watch(20.5);
  CHECK(seen == std::vector<int>{3, 2, 0, 2, 3});
}
