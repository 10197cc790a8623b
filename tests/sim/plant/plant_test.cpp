#include "sim/plant/plant.hpp"

#include <cmath>
#include <cstring>
#include <stdexcept>
#include <string>
#include <type_traits>

#include <doctest/doctest.h>

#include "plant_oven.hpp"
#include "property.hpp"

using namespace ovenproof::plant;
using ovenproof::plant::testing::Bench;
using ovenproof::plant::testing::near;
using ovenproof::plant::testing::oven_220_L;
using ovenproof::test::check_property;

namespace {

// One scan's inputs out of a random word, changing seldom or often.
void scramble(Bench& bench, std::uint32_t word) {
  bench.act.k1 = word & 1;
  bench.act.k2 = word & 2;
  bench.act.fan = word & 4;
  bench.act.purge_valve = word & 8;
  bench.act.process_valve = word & 16;
  bench.act.damper_open = word & 32;
  bench.act.blower = word & 64;
  bench.hands.door_open = (word & 0x380) == 0x380;
  bench.hands.estop_pressed = (word & 0x1c00) == 0x1c00;
  bench.act.heater_drive = static_cast<double>((word >> 13) & 0xff) / 255.0;
  bench.around.ambient_degC = 15.0 + static_cast<double>((word >> 21) & 0xf);
  bench.around.supply_kPa = (word & 0x6000000) == 0 ? 50.0 : 400.0;
}

bool same_bits(const State& a, const State& b) {
  const auto same = [](double x, double y) { return std::memcmp(&x, &y, sizeof x) == 0; };
  for (std::size_t i = 0; i < at::state_count; ++i) {
    if (!same(a.y[i], b.y[i])) return false;
  }
  for (std::size_t i = 0; i < book::book_count; ++i) {
    if (!same(a.books[i], b.books[i])) return false;
  }
  return same(a.field.thermocouple_a_mV, b.field.thermocouple_a_mV) &&
         same(a.field.oxygen_cell_mV, b.field.oxygen_cell_mV) && same(a.heater_J, b.heater_J) &&
         a.positions == b.positions && a.k1.closed == b.k1.closed &&
         a.scans_pending == b.scans_pending;
}

bool sane(const Truth& t) {
  const auto within = [](double x, double low, double high) { return x >= low && x <= high; };
  return within(t.element_degC, 0.0, 1400.0) && within(t.gas_degC, 0.0, 1300.0) &&
         within(t.wall_degC, 0.0, 1300.0) && within(t.load_inside_degC, 0.0, 1300.0) &&
         within(t.oxygen, 0.0, 0.2096) && within(t.oxygen_pockets, -1e-12, 0.2096) &&
         within(t.room_oxygen, 0.0, 0.2096) && within(t.pressure_Pa, -9e4, 4.2e5);
}

}  // namespace

static_assert(std::is_trivially_copyable_v<Plant>);

TEST_CASE("a copy continues bit for bit, from any moment and whatever happens") {
  check_property(11, [](const std::vector<std::uint32_t>& words) {
    Bench original;
    for (std::size_t i = 0; i < words.size(); ++i) {
      scramble(original, words[i]);
      original.run(0.01 * (1 + words[i] % 37));
      if (i % 3 != 0) continue;
      Bench copy = original;
      const Bench before = copy;
      for (int scan = 0; scan < 25; ++scan) {
        scramble(original, words[i] * 2654435761u);
        scramble(copy, words[i] * 2654435761u);
        original.scan();
        copy.scan();
      }
      RC_ASSERT(same_bits(original.oven.state(), copy.oven.state()));
      RC_ASSERT(!same_bits(original.oven.state(), before.oven.state()));
    }
  });
}

TEST_CASE("looking at the truth changes nothing") {
  Bench looked, unlooked;
  double sum = 0.0;
  for (int i = 0; i < 5000; ++i) {
    scramble(looked, static_cast<std::uint32_t>(i / 70) * 2654435761u);
    scramble(unlooked, static_cast<std::uint32_t>(i / 70) * 2654435761u);
    looked.scan();
    unlooked.scan();
    sum += looked.truth().gas_degC;
  }
  CHECK(sum > 0.0);
  CHECK(same_bits(looked.oven.state(), unlooked.oven.state()));
}

TEST_CASE("whatever is thrown at it, everything stays finite and physical") {
  check_property(
      12,
      [](const std::vector<std::uint32_t>& words, std::uint8_t first, std::uint8_t second) {
        Bench bench;
        bench.oven.set_fault(static_cast<Fault>(first % fault_count), (second % 8) / 7.0);
        bench.oven.set_fault(static_cast<Fault>(second % fault_count), (first % 8) / 7.0);
        for (const std::uint32_t word : words) {
          scramble(bench, word);
          bench.run(0.01 * (1 + word % 3001));
          const Truth t = bench.truth();
          RC_ASSERT(sane(t));
        }
      },
      100);
}

TEST_CASE("books of heater energy and gas follow the inputs to rounding") {
  Bench bench;
  bench.act.k1 = bench.act.k2 = true;
  bench.run(0.1);
  const double before = bench.truth().energy_kWh;
  double asked_J = 0.0;
  for (int i = 0; i < 12343; ++i) {
    bench.act.heater_drive = (i * 37 % 101) / 100.0;
    bench.scan();
    asked_J += bench.truth().heater_W * 0.01;
  }
  REQUIRE(bench.oven.state().scans_pending > 0);  // counted though not yet integrated
  CHECK((bench.truth().energy_kWh - before) * 3.6e6 == doctest::Approx(asked_J).epsilon(1e-12));
}

TEST_CASE("a new load is placed only through an open door and brings its own temperature") {
  Bench bench(oven_220_L(), {300.0, 1e-5, true});
  CHECK_FALSE(bench.oven.place_load(10.0, 20.0));
  CHECK(bench.truth().load_degC == doctest::Approx(300.0));
  bench.hands.door_open = true;
  bench.run(3.0);
  CHECK(bench.oven.place_load(10.0, 20.0));
  CHECK(bench.truth().load_degC == doctest::Approx(20.0));
  CHECK(bench.oven.parameters().load.mass_kg == 10.0);
  CHECK(bench.truth().wall_degC > 250.0);
}

TEST_CASE("a load placed in a run heats by its own mass") {
  const auto load_after = [](double mass_kg) {
    Bench bench;
    bench.hands.door_open = true;
    bench.run(3.0);
    bench.oven.place_load(mass_kg, 20.0);
    bench.hands.door_open = false;
    bench.act.fan = bench.act.k1 = bench.act.k2 = true;
    bench.act.heater_drive = 1.0;
    bench.run(600.0);
    return bench.truth().load_degC;
  };
  CHECK(load_after(5.0) > load_after(150.0) + 50.0);
}

TEST_CASE("a lighter load heats faster") {
  const auto load_after = [](double mass_kg) {
    Parameters p = oven_220_L();
    p.load.mass_kg = mass_kg;
    Bench bench(p);
    bench.act.fan = bench.act.k1 = bench.act.k2 = true;
    bench.act.heater_drive = 1.0;
    bench.run(600.0);
    return bench.truth().load_inside_degC;
  };
  CHECK(load_after(0.0) > load_after(20.0));
  CHECK(load_after(20.0) > load_after(100.0) + 20.0);
}

TEST_CASE("a scan that is no whole fraction of a conversion is refused, with the reason") {
  for (const double scan_s : {0.0, -0.01, 0.03, 0.02, 0.007, double{NAN}}) {
    Timing timing;
    timing.scan_s = scan_s;
    CHECK_THROWS_WITH_AS(Plant(oven_220_L(), {}, {}, timing),
                         doctest::Contains("a whole fraction of 0.1 s"), std::invalid_argument);
  }
  Timing fine;
  fine.scan_s = 0.005;
  CHECK_NOTHROW(Plant(oven_220_L(), {}, {}, fine));
}

TEST_CASE("an oven too quick for its scan is refused, with the reason") {
  Parameters p = oven_220_L();
  p.wall.baffles_J_per_K = 0.5;
  CHECK_THROWS_WITH_AS(Plant{p}, doctest::Contains("heat capacity is too small"),
                       std::invalid_argument);
}

TEST_CASE("an oven too quick for its scan with the fan at rest is refused as well") {
  Parameters p = oven_220_L();
  p.heater.heat_capacity_J_per_K = 100.0;
  CHECK_NOTHROW(Plant{p});
  p.heater.convection_still_W_per_K = 10'000.0;
  CHECK_THROWS_WITH_AS(Plant{p}, doctest::Contains("heat capacity is too small"),
                       std::invalid_argument);
}

TEST_CASE("an oven starts as its initial condition says, sensors included") {
  Bench bench(oven_220_L(), {300.0, 500e-6, true});
  const Truth t = bench.truth();
  CHECK(t.element_degC == doctest::Approx(300.0));
  CHECK(t.load_inside_degC == doctest::Approx(300.0));
  CHECK(t.oxygen == near(500e-6, 1e-12));
  CHECK(std::fabs(t.pressure_Pa) < 1e-6);
  CHECK(bench.field().thermocouple_a_mV > 10.0);
  CHECK(bench.field().oxygen_cell_mV ==
        doctest::Approx(1e3 * 8.314462618 * 1023.15 / (4 * 96485.33212) * std::log(0.2095 / 500e-6))
            .epsilon(1e-3));
}

TEST_CASE("time counts scans") {
  Bench bench;
  bench.run(1.23);
  CHECK(bench.truth().time_s == doctest::Approx(1.23).epsilon(1e-12));
}
