#include "sim/machine/derived.hpp"

#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "property.hpp"
#include "sim/machine/natural_log.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;
using doctest::Approx;

namespace {
double figure(const Derived& derived, std::string_view id) {
  for (const Figure& one : derived.figures) {
    if (one.id == id) return one.value;
  }
  FAIL("no figure " << std::string(id));
  return 0.0;
}
bool has(const Derived& derived, std::string_view id) {
  for (const Figure& one : derived.figures) {
    if (one.id == id) return true;
  }
  return false;
}
/// Stirred without bypass, pure gas, tight.
plant::Parameters ideal() {
  plant::Parameters p;
  p.mixing.bypass_fan = 0.0;
  p.supply.oxygen_ppm = 0.0;
  p.tightness.air_ingress_L_per_min = 0.0;
  return p;
}
}  // namespace

TEST_CASE("the logarithm is that of the mathematical library") {
  test::check_property(
      20'260'020,
      [] {
        const double x =
            std::ldexp(1.0 + *rc::gen::inRange(0, 1'000'000) / 1e6, *rc::gen::inRange(-300, 300));
        const double expected = std::log(x);
        RC_ASSERT(std::fabs(natural_log(x) - expected) <=
                  4e-16 * std::max(1.0, std::fabs(expected)));
      },
      2000);
  CHECK(natural_log(1.0) == 0.0);
}

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
  CHECK_FALSE(volume_changes_to(p, dry_air_ppm).has_value());
}

TEST_CASE("the oxygen floor is that of mixing leak and supply") {
  // Worked case of two streams: 20 m3/h with 10 ppm and 0.02 m3/h of air give 219.3 ppm.
  plant::Parameters p = ideal();
  p.supply.oxygen_ppm = 10.0;
  p.tightness.air_ingress_L_per_min = 0.02 * 1000.0 / 60.0;
  CHECK(oxygen_floor_ppm(p, 20.0 * 1000.0 / 60.0) == Approx(219.3).epsilon(0.0002));
}

TEST_CASE("conductances in series and heat capacities add up") {
  plant::Parameters p;
  p.insulation.wall_inner_W_per_K = 4.0;
  p.insulation.inner_outer_W_per_K = 4.0;
  p.insulation.outer_casing_W_per_K = 4.0;
  p.insulation.casing_room_W_per_K = 4.0;
  CHECK(loss_W_per_K(p) == Approx(1.0));
  p.heater.heat_capacity_J_per_K = 1000.0;
  p.wall.baffles_J_per_K = 100.0;
  p.wall.heat_capacity_J_per_K = 10'000.0;
  p.load.mass_kg = 10.0;
  p.load.specific_heat_J_per_kgK = 500.0;
  p.load.rack_J_per_K = 900.0;
  p.insulation.inner_J_per_K = 2000.0;
  CHECK(heated_capacity_J_per_K(p) == Approx(18'000.0));
  p.fan.shaft_power_W = 0.0;
  CHECK(ramp_power_W(p, 6.0, 520.0) == Approx(18'000.0 * 0.1 + 500.0));
}

TEST_CASE("the figures of a demo machine agree with each other and with the closed forms") {
  const Machine m = test::must_load(test::demo_files[0]);
  const Derived d = derive(m);
  const plant::Parameters& p = m.plant;
  const double volumes = figure(d, "purge_volume_changes");
  CHECK(volumes == Approx(volume_changes_to(p, 100.0).value()));
  CHECK(figure(d, "purge_s") == Approx(volumes * 160.0 / 100.0 * 60.0 + 30.0));
  CHECK(figure(d, "heating_s") == Approx((550.0 - 20.0) / 8.0 * 60.0 + 45.0 * 60.0));
  CHECK(figure(d, "cycle_s") ==
        Approx(figure(d, "purge_s") + figure(d, "heating_s") + figure(d, "cooling_s")));
  CHECK(figure(d, "gas_m3") * 1000.0 ==
        Approx(100.0 * figure(d, "purge_s") / 60.0 +
               20.0 * (figure(d, "heating_s") + figure(d, "cooling_s")) / 60.0));
  // Cooling of one lump: t = C / (m cp (1 - exp(-UA / m cp)) + loss) ln(dT0 / dT1).
  const double air_W_per_K = 0.120 * 1.204 * 1007.0;
  const double conductance = air_W_per_K * (1.0 - std::exp(-85.0 / air_W_per_K)) + loss_W_per_K(p);
  CHECK(figure(d, "cooling_s") ==
        Approx(heated_capacity_J_per_K(p) / conductance * std::log(530.0 / 40.0)).epsilon(1e-5));
  const double room_L_per_min = 120'000.0 * 6.0 / 60.0;
  CHECK(figure(d, "room_ppm") == Approx(209'500.0 * room_L_per_min / (room_L_per_min + 100.0)));
}

TEST_CASE("without a monitor the set volume changes count, and the oxygen they leave is told") {
  const Machine m = test::must_load(test::demo_files[2]);
  const Derived d = derive(m);
  CHECK(figure(d, "purge_volume_changes") == 10.0);
  CHECK(figure(d, "purge_s") == Approx(10.0 * 300.0 / 150.0 * 60.0));
  const double floor = oxygen_floor_ppm(m.plant, 150.0);
  CHECK(figure(d, "purge_end_ppm") ==
        Approx(floor + (dry_air_ppm - floor) * std::exp(-10.0 * 0.98)).epsilon(1e-6));
  CHECK_FALSE(has(derive(test::must_load(test::demo_files[0])), "purge_end_ppm"));
}

TEST_CASE("a ducted exhaust has no room figure for purging, an undercut room has a caution") {
  Machine m = test::must_load(test::demo_files[0]);
  CHECK(derive(m).cautions.empty());
  m.plant.room.air_changes_per_h = 0.1;
  CHECK(derive(m).cautions.size() == 1);
  m.plant.room.volume_m3 = 10.0;
  CHECK(derive(m).cautions.size() == 2);
  m.plant.exhaust.ducted = true;
  CHECK(derive(m).cautions.size() == 1);
  CHECK_FALSE(has(derive(m), "room_ppm"));
}

TEST_CASE("a full cycle of each demo machine takes a few hours") {
  for (const std::string& file : test::demo_files) {
    CAPTURE(file);
    const double hours = figure(derive(test::must_load(file)), "cycle_s") / 3600.0;
    CHECK(hours > 1.0);
    CHECK(hours < 8.0);
  }
}
