#include "sim/machine/estimate.hpp"

#include <doctest/doctest.h>

#include "sim/plant/plant.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;
using doctest::Approx;

namespace {
/// Stirred without bypass, pure gas, tight.
plant::Parameters ideal() {
  plant::Parameters p;
  p.mixing.bypass_fan = 0.0;
  p.supply.oxygen_ppm = 0.0;
  p.tightness.air_ingress_L_per_min = 0.0;
  return p;
}
}  // namespace

TEST_CASE("ideal purging takes the volume changes of stirred dilution") {
  // N = ln(C0 / C): Crowl and Louvar, Chemical Process Safety, sweep-through purging. The values
  // are those of the formula from 20.95 %.
  const plant::Parameters p = ideal();
  CHECK(volume_changes_to(p, 100'000.0).value() == Approx(0.740).epsilon(0.001));
  CHECK(volume_changes_to(p, 10'000.0).value() == Approx(3.042).epsilon(0.001));
  CHECK(volume_changes_to(p, 1'000.0).value() == Approx(5.345).epsilon(0.001));
  CHECK(volume_changes_to(p, 100.0).value() == Approx(7.647).epsilon(0.001));
  CHECK(volume_changes_to(p, 10.0).value() == Approx(9.950).epsilon(0.001));
}

TEST_CASE("a bypass of a half doubles the volume changes") {
  plant::Parameters p = ideal();
  const double once = volume_changes_to(p, 100.0).value();
  p.mixing.bypass_fan = 0.5;
  CHECK(volume_changes_to(p, 100.0).value() == Approx(2.0 * once));
}

TEST_CASE("below the floor no number of volume changes leads") {
  plant::Parameters p = ideal();
  p.supply.oxygen_ppm = 10.0;
  CHECK_FALSE(volume_changes_to(p, 10.0).has_value());
  CHECK(volume_changes_to(p, 10.1).has_value());
  CHECK(volume_changes_to(p, 209'500.0).value() == 0.0);
}

TEST_CASE("the oxygen floor is that of mixing leak and supply") {
  // Worked case of two streams: 20 m3/h with 10 ppm and 0.02 m3/h of air give 219.3 ppm.
  plant::Parameters p = ideal();
  p.supply.oxygen_ppm = 10.0;
  p.tightness.air_ingress_L_per_min = 0.02 * 1000.0 / 60.0;
  CHECK(oxygen_floor_ppm(p, 20.0 * 1000.0 / 60.0) == Approx(219.3).epsilon(0.0002));
}

TEST_CASE("gas that leaves unmixed holds nothing back: the floor rises by the mixing factor") {
  plant::Parameters p = ideal();
  p.tightness.air_ingress_L_per_min = 0.002;
  const double mixed = oxygen_floor_ppm(p, 20.0);
  p.mixing.bypass_fan = 0.5;
  CHECK(oxygen_floor_ppm(p, 20.0) == Approx(2.0 * mixed).epsilon(1e-3));
}

TEST_CASE("a litre of flow counts at 0 degC and fills more of a chamber at room temperature") {
  plant::Parameters p;
  p.chamber.volume_m3 = 0.160;
  p.supply.purge_L_per_min = 100.0;
  CHECK(volume_change_s(p) == Approx(1.6 * 60.0 * 273.15 / 293.15));
}

TEST_CASE("conductances in series add up, and layers slow the wall by the square of their share") {
  plant::Parameters p;
  p.insulation.wall_inner_W_per_K = 4.0;
  p.insulation.inner_outer_W_per_K = 4.0;
  p.insulation.outer_casing_W_per_K = 4.0;
  p.insulation.casing_room_W_per_K = 4.0;
  CHECK(loss_W_per_K(p) == Approx(1.0));
  CHECK(casing_share(p) == Approx(0.25));
  p.insulation.inner_J_per_K = 1600.0;
  p.insulation.outer_J_per_K = 1600.0;
  p.insulation.casing_J_per_K = 1600.0;
  CHECK(insulation_capacity_J_per_K(p) == Approx(900.0 + 400.0 + 100.0));
  p.heater.heat_capacity_J_per_K = 1000.0;
  p.wall.baffles_J_per_K = 100.0;
  p.wall.heat_capacity_J_per_K = 10'000.0;
  p.load.mass_kg = 10.0;
  p.load.specific_heat_J_per_kgK = 500.0;
  p.load.rack_J_per_K = 900.0;
  CHECK(load_capacity_J_per_K(p) == Approx(7'000.0));
  CHECK(heated_capacity_J_per_K(p) == Approx(18'400.0));
  // 20 L/min of nitrogen, 22.414 L/mol, at 7/2 R: 0.4327 W/K.
  p.supply.process_L_per_min = 20.0;
  CHECK(process_gas_W_per_K(p) == Approx(20.0 / 60.0 / 22.414 * 3.5 * 8.31446).epsilon(1e-4));
  p.supply.gas = plant::Gas::argon;
  CHECK(process_gas_W_per_K(p) == Approx(20.0 / 60.0 / 22.414 * 2.5 * 8.31446).epsilon(1e-4));
  p.fan.shaft_power_W = 0.0;
  const double gas_W = process_gas_W_per_K(p) * 500.0;
  CHECK(ramp_power_W(p, 6.0, 520.0) == Approx(18'400.0 * 0.1 + 500.0 + gas_W));
  p.fan.shaft_power_W = 100.0;
  const double thin = 293.15 / 793.15;  // the fan's power goes with density
  CHECK(ramp_power_W(p, 6.0, 520.0) == Approx(18'400.0 * 0.1 + 500.0 + gas_W - 100.0 * thin));
}

TEST_CASE("what the pockets hold when purging ends is what the simulated oven holds there") {
  for (const double exchange_s : {8.0, 60.0, 200.0}) {
    plant::Parameters p = ideal();
    p.mixing.pocket_time_fan_s = exchange_s;
    plant::Plant oven(p, {}, {}, {});
    plant::Actuation act;
    act.fan = act.purge_valve = true;
    const auto run = [&](double s) {
      for (int i = 0; i < static_cast<int>(s * 100.0); ++i) oven.step(act, {}, {});
    };
    const double volumes = 8.0;
    run(volumes * volume_change_s(p));
    const double by_volumes = pockets_after_purge_ppm(p, volumes, std::nullopt, 0.0);
    CHECK(by_volumes == Approx(1e6 * oven.truth().oxygen_pockets).epsilon(0.05));

    const double gate_ppm = 1e6 * oven.truth().oxygen_stirred;
    run(120.0);
    const double by_gate = pockets_after_purge_ppm(p, 0.0, gate_ppm, 120.0);
    CHECK(by_gate == Approx(1e6 * oven.truth().oxygen_pockets).epsilon(0.1));
  }
}
