/// The closed forms of sizing against published figures and worked examples.
#include <cmath>

#include <doctest/doctest.h>

#include "sim/formulas/gas.hpp"
#include "sim/formulas/heat.hpp"
#include "sim/formulas/room.hpp"
#include "sim/plant/constants.hpp"

using namespace ovenproof::formulas;

namespace {
/// Equal within a relative tolerance, also far below 1.
doctest::Approx near(double value, double relative) {
  return doctest::Approx(value).epsilon(relative).scale(0.0);
}
}  // namespace

TEST_CASE("stirred purge takes the volume changes that purging tables give") {
  // N = ln(C0 / C) from 20.95 %: Crowl and Louvar, Chemical Process Safety, sweep-through purging
  // (values of the formula).
  CHECK(*volume_changes(209'500, 100'000, 0) == near(0.740, 1e-3));
  CHECK(*volume_changes(209'500, 10'000, 0) == near(3.042, 1e-3));
  CHECK(*volume_changes(209'500, 1'000, 0) == near(5.345, 1e-3));
  CHECK(*volume_changes(209'500, 100, 0) == near(7.647, 1e-3));
  CHECK(*volume_changes(209'500, 10, 0) == near(9.950, 1e-3));
  // From 21 % to 10 % in 0.74 volumes, and one volume leaves 7.7 %: a published note on inerting
  // (H. Herterich, Inertisierung).
  CHECK(*volume_changes(210'000, 100'000, 0) == near(0.74, 5e-3));
  CHECK(oxygen_after_ppm(210'000, 0, 1.0) == near(77'000, 5e-3));
}

TEST_CASE(
    "five volume changes meet 1 % of oxygen, the rule for inert atmospheres, but not 1000 ppm") {
  // NFPA 86, class C atmospheres purged by timed flow: at least five volume changes, so that oxygen
  // is below 1 % (Industrial Heating, article on NFPA 86 purging).
  CHECK(oxygen_after_ppm(209'500, 0, 5.0) < 10'000.0);
  CHECK(oxygen_after_ppm(209'500, 0, 5.0) > 1'000.0);
  // Four volume changes, the pre-ignition purge of NFPA 86, leave 0.384 %.
  CHECK(oxygen_after_ppm(209'500, 0, 4.0) == near(3'837, 1e-3));
}

TEST_CASE("leak and supply settle where a balance of two streams says, and the balance inverts") {
  // 20 m3/h with 10 ppm against 0.02 m3/h of air: (20 x 10 + 0.02 x 209500) / 20.02 = 219.3 ppm.
  CHECK(oxygen_floor_ppm(10, 20, 0.02) == near(219.3, 2e-4));
  CHECK(*flow_to_hold(oxygen_floor_ppm(10, 20, 0.02), 10, 0.02) == near(20.0, 1e-9));
  CHECK(ingress_from_floor(oxygen_floor_ppm(10, 20, 0.02), 10, 20) == near(0.02, 1e-9));
}

TEST_CASE("a cylinder of 50 L and 200 bar holds about 10 m3") {
  // The trade's rule counts 50 L x 200 as 10 m3, at the cylinder's temperature and 1 bar: common
  // practice, no source. At 0 degC and 101.325 kPa that is 9.2 m3.
  const double litres = cylinder_content_L(50, 200, 0, 20);
  CHECK(litres * (293.15 / 273.15) * 1.01325 == near(10'000.0, 1e-9));
  CHECK(litres == near(9'196.0, 1e-3));
  CHECK(cylinder_content_L(50, 200, 200, 20) == 0.0);
  CHECK(cylinder_content_L(50, 200, 300, 20) == 0.0);
}

TEST_CASE("gas that cools at constant pressure shrinks by the ideal gas law") {
  // 100 L at 300 K: n ~ 1/T, so 3 K/min less takes up 100 x (273.15 / 300) x 3/300 L/min.
  CHECK(contraction_L_per_min(100, 26.85, 3.0) == near(0.91050, 1e-4));
  // (T - Te) / T^2 is greatest at T = 2 Te: no other temperature on the way takes up more.
  const double peak = peak_contraction_L_per_min(100, 600, 60, 20, 30);
  double most = 0.0;
  for (double at = 60; at <= 600; at += 0.5) {
    most = std::fmax(most, contraction_L_per_min(100, at, (at - 20) / 30));
  }
  CHECK(peak == near(most, 1e-5));
}

TEST_CASE("room oxygen is that of published worked examples") {
  // 50 L at 200 bar are 10 m3; released in 40 m3: 15.7 % (University of Nottingham, compressed gas
  // safety calculator, form of its equation with 20.95 %).
  CHECK(room_oxygen_displaced(10, 40) == near(0.157, 2e-3));
  // One dewar of 160 L of liquid nitrogen, expansion 700, takes a room of 70 x 70 x 10 ft below
  // 19.5 % (Fermilab news, oxygen deficiency hazards, 2013).
  const double room_m3 = 70 * 70 * 10 * 0.0283168;
  CHECK(room_oxygen_displaced(0.160 * 700, room_m3) < ovenproof::plant::least_oxygen_for_people);
  CHECK(room_oxygen_displaced(0.160 * 700, room_m3) == near(0.193, 3e-3));
  // The stirred form leaves a little more, for some of the gas goes out with the air.
  CHECK(room_oxygen_after(0.160 * 700, 0, room_m3, 1.0) == near(0.1933, 3e-3));
}

TEST_CASE("a ventilated room settles at 0.2095 (1 - R / Q) and gets there as an exponential") {
  // Fermilab ES&H Manual 4240, fan drawing out.
  CHECK(room_oxygen_steady(10, 100) == near(0.18855, 1e-9));
  CHECK(room_oxygen_after(10, 100, 50, 1e6) == near(0.18855, 1e-9));
  CHECK(room_oxygen_after(10, 100, 50, 0.5) ==
        near(0.2095 * (1 - 0.1 * (1 - std::exp(-1.0))), 1e-12));
  CHECK(room_oxygen_steady(100, 100) == 0.0);
  const double t = *time_to_room_oxygen(0.195, 10, 100, 50);
  CHECK(room_oxygen_after(10, 100, 50, t) == near(0.195, 1e-12));
  CHECK_FALSE(time_to_room_oxygen(0.195, 5, 100, 50));
  // Without ventilation it always comes: t = (V / R) ln(0.2095 / 0.195).
  CHECK(*time_to_room_oxygen(0.195, 10, 0, 50) == near(5.0 * std::log(0.2095 / 0.195), 1e-12));
}

TEST_CASE("one lump cools and heats as in a textbook's worked example") {
  // Incropera, Fundamentals of Heat and Mass Transfer, example 5.1: a thermocouple junction of time
  // constant 1 s from 25 degC in gas of 200 degC is at 199 degC after 5.2 s.
  CHECK(*cooling_s(1.0, 1.0, 175.0, 1.0) == near(5.2, 1e-2));
  // Steel ball, 20 mm, 7800 kg/m3, 500 J/kgK, 1000 W/m2K: 13 s (a published course note).
  const double tau = 7800.0 * 500.0 * (0.01 / 3.0) / 1000.0;
  CHECK(tau == near(13.0, 1e-9));
  CHECK(*cooling_s(tau, 1.0, 100.0, 100.0 * std::exp(-1.0)) == near(13.0, 1e-9));
  // 63.2 % after one time constant, 95.0 % after three.
  CHECK(1.0 - std::exp(-*cooling_s(1.0, 1.0, 1.0, 0.05)) == near(0.95, 1e-9));
  // 500 kg of steel at 500 J/kgK, 0.5 kg/s of air at 1010 J/kgK, UA 20 W/K: 476 s; from 400 to
  // 60 degC against 25 degC in 1129 s.
  CHECK(*cooling_s(250'000, 0.5 * 1010 + 20, 375, 35) == near(1129, 1e-3));
}

TEST_CASE("constant power heats one lump towards P / G, and at once as P t / C") {
  // Incropera, section 5.3: T - Ta = (P / G) (1 - exp(-G t / C)).
  CHECK(*heating_s(50'000, 1e-9, 10'000, 0, 500) == near(2500.0, 1e-6));
  CHECK(*heating_s(1000, 2, 100, 0, 50.0 * (1 - std::exp(-1.0))) == near(500.0, 1e-9));
  CHECK_FALSE(heating_s(1000, 2, 100, 0, 50.0));
}

TEST_CASE("a jacket's effectiveness is 1 - exp(-NTU)") {
  // Incropera, section 11.4, heat exchanger with one stream of constant temperature; NTU 1 gives
  // 0.632, NTU 3 0.950.
  CHECK(effectiveness(1.0, 1.0) == near(0.632, 1e-3));
  CHECK(effectiveness(3.0, 1.0) == near(0.950, 1e-3));
  CHECK(effectiveness(1.0, 0.0) == 0.0);
}

TEST_CASE("an exponential is followed by a first-order lag as late as its response says") {
  // x' = (e^-t/tau - x) / lag, after long: x = e^-t/tau / (1 - lag / tau).
  const double late = *lag_behind_s(1000.0, 200.0);
  CHECK(std::exp(-late / 1000.0) == near(1.0 - 0.2, 1e-12));
  CHECK_FALSE(lag_behind_s(100.0, 100.0));
}
