#include <cmath>

#include <doctest/doctest.h>

#include "plant_oven.hpp"
#include "property.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;
using ovenproof::test::check_property;

namespace {

// Hot oven, fan and purge on, full power: every smooth path of the network carries something.
struct Smooth {
  Parameters p = oven_220_L();
  Constants c = constants(p, Faults{}, Surroundings{});
  Coefficients k;
  StateVector y;

  Smooth() {
    Positions at;
    at.fan = at.purge_valve = at.blower = at.damper = 1.0;
    k = coefficients(p, at, jacket_segment(p.cooling, at, to_K(300.0), c.ambient_K));
    y = Bench(p, {300.0, 0.05, false}).oven.state().y;
    y[at::element] += 300.0;
    y[at::load_inside] -= 100.0;
    // Above cracking from the start, so that no flow has a kink in it.
    for (const std::size_t i : {at::gas, at::gas_energy}) y[i] *= 1.005;
  }

  StateVector after(double seconds, int steps) const {
    StateVector now = y;
    BookVector books{};
    for (int i = 0; i < steps; ++i) runge_kutta_4(c, k, k, k, 12000.0, seconds / steps, now, books);
    return now;
  }
};

double distance(const StateVector& a, const StateVector& b) {
  double worst = 0.0;
  for (std::size_t i = 0; i < at::state_count; ++i) {
    worst = std::max(worst, std::fabs(a[i] - b[i]) / (1.0 + std::fabs(b[i])));
  }
  return worst;
}

}  // namespace

TEST_CASE("halving the step cuts the error sixteenfold: the method is of fourth order") {
  const Smooth oven;
  const StateVector exact = oven.after(4.0, 3200);
  const double coarse = distance(oven.after(4.0, 40), exact);
  const double medium = distance(oven.after(4.0, 80), exact);
  const double fine = distance(oven.after(4.0, 160), exact);
  CHECK(coarse > 1e-9);  // well above rounding, so that the ratio means something
  CHECK(std::log2(coarse / medium) == doctest::Approx(4.0).epsilon(0.06));
  CHECK(std::log2(medium / fine) == doctest::Approx(4.0).epsilon(0.06));
}

TEST_CASE("at the step the plant chooses the error is far below any sensor's resolution") {
  const Smooth oven;
  const double limit = 0.7 / fastest_rate_per_s(oven.p, oven.c);
  const int steps = static_cast<int>(std::ceil(10.0 / std::min(0.1, limit)));
  CHECK(distance(oven.after(10.0, steps), oven.after(10.0, 8000)) < 1e-5);
}

TEST_CASE("integrating several scans at once gives what integrating each gives") {
  const auto run = [](double longest_s) {
    Timing timing;
    timing.longest_s = longest_s;
    Bench bench(oven_220_L(), {20.0, 0.2, true}, timing);
    bench.act.fan = bench.act.purge_valve = true;
    bench.run(300.0);
    bench.act.purge_valve = false;
    bench.act.process_valve = true;
    bench.act.k1 = bench.act.k2 = true;
    for (int i = 0; i < 600; ++i) {
      bench.act.heater_drive = (i % 7) / 6.0;
      bench.run(1.03);
    }
    return bench.truth();
  };
  const Truth each = run(0.01), several = run(0.1);
  CHECK(several.element_degC == doctest::Approx(each.element_degC).epsilon(1e-5));
  CHECK(several.gas_degC == doctest::Approx(each.gas_degC).epsilon(1e-6));
  CHECK(several.load_degC == doctest::Approx(each.load_degC).epsilon(1e-7));
  CHECK(several.oxygen == near(each.oxygen, 1e-6));
  CHECK(several.pressure_Pa == doctest::Approx(each.pressure_Pa).epsilon(1e-3));
}

TEST_CASE("a change of the surroundings is integrated at once, under the old ones until then") {
  Bench bench(oven_220_L(), {300.0, 0.01, true});
  bench.run(10.02);
  REQUIRE(bench.oven.state().scans_pending == 2);
  bench.around.ambient_degC = 30.0;
  bench.scan();
  CHECK(bench.oven.state().scans_pending == 0);
}

TEST_CASE("each scan counts with the surroundings it had, however they change between") {
  const auto casing_after = [](double longest_s) {
    Timing timing;
    timing.longest_s = longest_s;
    Bench bench(oven_220_L(), {20.0, 0.01, true}, timing);
    bench.run(0.02);
    for (int i = 0; i < 600; ++i) {
      bench.around.ambient_degC = 60.0;
      bench.run(0.03);
      bench.around.ambient_degC = 20.0;
      bench.run(0.07);
    }
    return bench.truth().casing_degC;
  };
  CHECK(casing_after(0.1) == near(casing_after(0.01), 1e-4));
  CHECK(casing_after(0.1) > 21.0);
}

TEST_CASE("an oven with a quick exhaust is integrated in steps short enough for it") {
  const auto run = [](double longest_s) {
    Parameters p = oven_220_L();
    p.chamber.volume_m3 = 0.02;
    p.exhaust.conductance_L_per_min_Pa = 10.0;  // acts as 30 ms
    Timing timing;
    timing.longest_s = longest_s;
    p.supply.gas = Gas::argon;
    Bench bench(p, {1000.0, 0.01, true}, timing);
    bench.act.purge_valve = bench.act.fan = true;
    bench.run(30.0);
    return bench.truth();
  };
  const Truth each = run(0.01), several = run(0.1);
  CHECK(several.pressure_Pa == near(each.pressure_Pa, 1e-4));
  CHECK(several.oxygen == near(each.oxygen, 1e-4));
}

TEST_CASE("energy is conserved to 1e-9 of throughput whatever the oven does") {
  check_property(
      21,
      [](const std::vector<std::uint16_t>& words) {
        Bench bench(oven_220_L(), {250.0, 0.1, true});
        const double before_J = bench.oven.stored_energy_J();
        double through_J = 1.0;
        for (const std::uint16_t word : words) {
          bench.act.k1 = bench.act.k2 = word & 3;
          bench.act.heater_drive = (word >> 2 & 7) / 7.0;
          bench.act.fan = word & 32;
          bench.act.purge_valve = word & 64;
          bench.act.damper_open = word & 128;
          bench.act.blower = word & 256;
          bench.hands.door_open = (word & 0x600) == 0x600;
          const BookVector was = bench.oven.state().books;
          bench.run(0.1 * (1 + word % 977));
          const BookVector& is = bench.oven.state().books;
          through_J += std::fabs(is[book::lost_J] - was[book::lost_J]);
        }
        const State& s = bench.oven.state();
        through_J += s.heater_J + s.books[book::fan_J];
        const double balance_J = s.heater_J + s.books[book::fan_J] - s.books[book::lost_J] -
                                 (bench.oven.stored_energy_J() - before_J);
        // Rounding of the stored energy itself (some 5e7 J) is the floor.
        RC_ASSERT(std::fabs(balance_J) <= 1e-9 * through_J + 1e-2);
      },
      60);
}

TEST_CASE("gas and oxygen are conserved to 1e-9 of throughput whatever the oven does") {
  check_property(
      22,
      [](const std::vector<std::uint16_t>& words, std::uint8_t fault) {
        Parameters p = oven_220_L();
        p.blanket.pressure_Pa = 60.0;
        p.blanket.sweep_L_per_min = 2.0;
        p.door.gas_valve_opening = 0.04;
        Bench bench(p, {250.0, 0.1, true});
        bench.oven.set_fault(static_cast<Fault>(fault % fault_count), 0.7);
        const StateVector start = bench.oven.state().y;
        for (const std::uint16_t word : words) {
          bench.act.k1 = bench.act.k2 = word & 1;
          bench.act.heater_drive = 1.0;
          bench.act.fan = word & 2;
          bench.act.purge_valve = word & 4;
          bench.act.process_valve = word & 8;
          bench.act.damper_open = bench.act.blower = word & 16;
          bench.hands.door_open = (word & 0x60) == 0x60;
          bench.run(0.1 * (1 + word % 977));
        }
        const StateVector& y = bench.oven.state().y;
        const BookVector& b = bench.oven.state().books;
        const double in =
            b[book::purge_mol] + b[book::process_mol] + b[book::blanket_mol] + b[book::air_in_mol];
        const double gas = in - b[book::gas_out_mol] - (y[at::gas] - start[at::gas]);
        RC_ASSERT(std::fabs(gas) <= 1e-9 * (in + b[book::gas_out_mol] + 1e-3));
        const double held = y[at::oxygen_stirred] + y[at::oxygen_pockets];
        const double held_before = start[at::oxygen_stirred] + start[at::oxygen_pockets];
        const double oxygen =
            b[book::oxygen_in_mol] - b[book::oxygen_out_mol] - (held - held_before);
        RC_ASSERT(std::fabs(oxygen) <=
                  1e-9 * (b[book::oxygen_in_mol] + b[book::oxygen_out_mol] + 1e-3));
      },
      60);
}
