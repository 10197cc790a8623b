/// Heat side and sensors of the plant against published closed forms and tables.
#include <cmath>
#include <fstream>
#include <string>

#include <doctest/doctest.h>

#include "plant_oven.hpp"
#include "sim/plant/oxygen_cell.hpp"
#include "sim/plant/thermocouple_emf.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;

namespace {

// A network whose nodes hardly know each other; each test couples what it needs.
Parameters uncoupled() {
  Parameters p = oven_220_L();
  p.heater.convection_fan_W_per_K = p.heater.convection_still_W_per_K = 1e-9;
  p.wall.convection_fan_W_per_K = p.wall.convection_still_W_per_K = 1e-9;
  p.load.convection_fan_W_per_K = p.load.convection_still_W_per_K = 1e-9;
  p.heater.wall_radiation_m2 = p.load.wall_radiation_m2 = 0.0;
  p.load.inside_conductance_W_per_K = 1e-9;
  p.insulation.wall_inner_W_per_K = 1e-9;
  p.cooling.fitted = false;
  p.fan.shaft_power_W = 0.0;
  return p;
}

// Advances the bare network; nothing moves.
double time_until(const Parameters& p, const Positions& at, StateVector y, double heater_W,
                  double step_s, std::size_t node, double target_K) {
  const Constants c = constants(p, Faults{}, Surroundings{});
  BookVector books{};
  const bool rising = y[node] < target_K;
  double t_s = 0.0;
  double before_K = y[node];
  while ((y[node] < target_K) == rising && t_s < 1e6) {
    const Coefficients k =
        coefficients(p, at, jacket_segment(p.cooling, at, y[at::wall], c.ambient_K));
    before_K = y[node];
    runge_kutta_4(c, k, k, k, heater_W, step_s, y, books);
    t_s += step_s;
  }
  return t_s - step_s * (y[node] - target_K) / (y[node] - before_K);
}

StateVector start(const Parameters& p, double degC) { return Plant(p, {}, {degC}).state().y; }

}  // namespace

TEST_CASE("a lumped body in a hot gas stream rises as 1 - exp(-t/tau)") {
  // Incropera, Fundamentals of Heat and Mass Transfer, example 5.1: a thermocouple junction with
  // tau = 1 s from 25 degC in gas of 200 degC reaches 199 degC in 5.2 s (exactly ln 175 = 5.165).
  Parameters p = uncoupled();
  p.load.mass_kg = 0.0;
  p.load.rack_J_per_K = 100.0;
  p.load.convection_fan_W_per_K = 100.0;
  p.wall.baffles_J_per_K = 1e9;  // the stream stays at 200 degC
  StateVector y = start(p, 200.0);
  y[at::load] = to_K(25.0);
  Positions fan;
  fan.fan = 1.0;
  const double t_s = time_until(p, fan, y, 0.0, 0.01, at::load, to_K(199.0));
  CHECK(t_s == doctest::Approx(5.2).epsilon(0.01));
  CHECK(t_s == doctest::Approx(std::log(175.0)).epsilon(1e-4));
}

TEST_CASE("forced-air cooling of a stirred mass takes M c over m cp + UA") {
  // Energy balance of a stirred chamber, worked by hand: 500 kg of steel (c = 500 J/kgK), air
  // stream m cp = 505 W/K heated fully, UA = 20 W/K: tau = 250000/525 s, and 400 -> 60 degC with
  // air at 25 degC takes tau ln(375/35) = 1129 s.
  Parameters p = uncoupled();
  p.wall.heat_capacity_J_per_K = 250000.0;
  p.insulation.wall_inner_W_per_K = p.insulation.inner_outer_W_per_K = 80.0;
  p.insulation.outer_casing_W_per_K = p.insulation.casing_room_W_per_K = 80.0;  // 20 in series
  p.insulation.inner_J_per_K = p.insulation.outer_J_per_K = p.insulation.casing_J_per_K = 1.0;
  p.cooling.fitted = true;
  p.cooling.chimney_height_m = 0.0;
  p.cooling.closed_leakage_fraction = 1e-9;
  p.cooling.airflow_L_per_s = 505.0 / air_specific_heat / air_density * 1e3;
  p.cooling.ua_W_per_K = 1e5;  // effectiveness 1
  Positions open;
  open.damper = open.blower = 1.0;
  const Surroundings room{25.0, 400.0, 1.0};
  const Constants c = constants(p, Faults{}, room);
  StateVector y{};
  for (std::size_t i = at::element; i <= at::casing; ++i) y[i] = to_K(400.0);
  const double W = 20.0 * 375.0;
  y[at::insulation_inner] -= W / 80.0;
  y[at::insulation_outer] -= 2.0 * W / 80.0;
  y[at::casing] -= 3.0 * W / 80.0;
  y[at::gas] = atmosphere_Pa / (c.R_over_V * to_K(400.0));
  y[at::gas_energy] = (y[at::gas] * c.cv + c.baffles_J_per_K) * to_K(400.0);
  BookVector books{};
  const Coefficients k =
      coefficients(p, open, jacket_segment(p.cooling, open, y[at::wall], c.ambient_K));
  double t_s = 0.0;
  while (y[at::wall] > to_K(60.0) && t_s < 5000.0) {
    runge_kutta_4(c, k, k, k, 0.0, 0.01, y, books);
    t_s += 0.01;
  }
  CHECK(t_s == doctest::Approx(1129.0).epsilon(2e-3));
}

TEST_CASE("elements that only radiate settle where Stefan-Boltzmann says") {
  // P = sigma A (Te^4 - Tw^4) with sigma = 5.670374e-8 W/m2K4 (CODATA 2018).
  Parameters p = uncoupled();
  p.heater.wall_radiation_m2 = 0.1;
  p.wall.heat_capacity_J_per_K = 1e12;
  const Constants c = constants(p, Faults{}, Surroundings{});
  StateVector y = start(p, 300.0);
  BookVector books{};
  const Coefficients k = coefficients(p, Positions{}, {});
  for (int i = 0; i < 100000; ++i) runge_kutta_4(c, k, k, k, 2000.0, 0.1, y, books);
  const double wall_K = to_K(300.0);
  const double expected_K = std::pow(2000.0 / (5.670374e-8 * 0.1) + std::pow(wall_K, 4), 0.25);
  CHECK(y[at::element] == doctest::Approx(expected_K).epsilon(1e-6));
}

TEST_CASE("thermocouple emf agrees with the ITS-90 tables to their last digit") {
  // data/thermocouple_K.csv and _N.csv: NIST Standard Reference Database 60 (= IEC 60584-1),
  // each line with its source; 0..700 degC, mV to three decimals.
  for (const ThermocoupleType type : {ThermocoupleType::k, ThermocoupleType::n}) {
    std::ifstream table(std::string(OVENPROOF_REFERENCE_DATA) + (type == ThermocoupleType::k
                                                                     ? "/thermocouple_K.csv"
                                                                     : "/thermocouple_N.csv"));
    std::string line;
    std::getline(table, line);  // heading
    int points = 0;
    double degC = 0.0, mV = 0.0;
    char comma = 0;
    while (table >> degC >> comma >> mV) {
      CHECK(std::fabs(emf_mV(type, degC) - mV) <= 0.0005);
      ++points;
      std::getline(table, line);
    }
    CHECK(points == 71);
  }
  // Below 0 degC, ends of the published inverse functions (NIST Standard Reference Database 60): K
  // -5.891 mV and N -3.990 mV at -200 degC.
  CHECK(std::fabs(emf_type_k_mV(-200.0) + 5.891) <= 0.0005);
  CHECK(std::fabs(emf_type_n_mV(-200.0) + 3.990) <= 0.0005);
  // The two branches of each meet at 0 degC.
  CHECK(std::fabs(emf_type_k_mV(1e-9) - emf_type_k_mV(-1e-9)) < 1e-6);
}

TEST_CASE("the oxygen cell gives the Nernst slope and the usual simplified formula") {
  // Slope R T ln 10 / 4F: 50.74 mV a decade at 750 degC (as instruments print it; common practice,
  // no source). E = 0.0496 T log10(0.209/x) mV (common practice, no source); its 0.209 instead of
  // 0.2095 costs 0.05 mV.
  const double T = to_K(750.0);
  CHECK(nernst_mV(T, 1e-5) - nernst_mV(T, 1e-4) == doctest::Approx(50.74).epsilon(4e-4));
  CHECK(nernst_mV(T, air_oxygen) == doctest::Approx(0.0));
  for (const double x : {0.1, 0.01, 1e-3, 1e-4, 1e-5}) {
    CHECK(std::fabs(nernst_mV(T, x) - 0.0496 * T * std::log10(0.209 / x)) < 0.1);
  }
  // About 66 mV at 1 %, about 16 mV at 10 %,
  // from memory: data sheet of an in situ probe at 736 degC, table of mV: check against the source.
  CHECK(std::fabs(nernst_mV(to_K(736.0), 0.01) - 66.0) < 0.3);
  CHECK(std::fabs(nernst_mV(to_K(736.0), 0.10) - 16.0) < 0.3);
}

TEST_CASE("conversions of gas quantities agree with the molar volume of an ideal gas") {
  // 22.413 969 54 L/mol at 0 degC and 101.325 kPa (CODATA 2018).
  CHECK(1.0 / mol_per_L == doctest::Approx(22.41396954).epsilon(1e-8));
}
