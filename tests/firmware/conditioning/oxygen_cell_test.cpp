#include "firmware/conditioning/oxygen_cell.hpp"

#include <initializer_list>

#include <doctest/doctest.h>

#include "counts_of.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds conversion{100};
constexpr OxygenCellLimits limits{.settle_time = Milliseconds(1000)};
constexpr Reading<Celsius> hot{Celsius(750.0F), Reason::none};

const Reading<Ppm>& feed(OxygenCell& cell, double mV, const Reading<Celsius>& temperature = hot,
                         int conversions = 1) {
  const auto count = test::count_of(hal::AnalogIn::oxygen_cell, mV);
  for (int i = 0; i < conversions; ++i) cell.update(count, temperature, conversion, limits);
  return cell.reading();
}

Reading<Celsius> at(float degC, Reason reason = Reason::none) { return {Celsius(degC), reason}; }

}  // namespace

TEST_CASE("a cell is warming up until it has been in its band for the settle time") {
  OxygenCell cell;
  CHECK(feed(cell, 0.0, at(20.0F), 1000).reason == Reason::warming_up);
  CHECK(feed(cell, 0.0, at(734.9F), 1000).reason == Reason::warming_up);
  CHECK(feed(cell, 0.0, at(735.0F), 10).reason == Reason::warming_up);
  CHECK(feed(cell, 0.0, at(765.0F)).valid());
  CHECK(cell.reading().value.value == doctest::Approx(209'500.0).epsilon(1e-3));
}

TEST_CASE("a cell that leaves its band has to settle again, too hot as well as too cold") {
  for (const float outside : {734.0F, 766.0F}) {
    OxygenCell cell;
    REQUIRE(feed(cell, 0.0, hot, 20).valid());
    CHECK(feed(cell, 0.0, at(outside)).reason == Reason::warming_up);
    CHECK(feed(cell, 0.0, hot, 10).reason == Reason::warming_up);
    CHECK(feed(cell, 0.0, hot).valid());
  }
}

TEST_CASE("a cell without a valid thermocouple measures nothing, whatever its value says") {
  OxygenCell cell;
  feed(cell, 0.0, hot, 20);
  CHECK(feed(cell, 0.0, at(750.0F, Reason::open_circuit)).reason == Reason::cell_thermocouple);
  // For display.
  CHECK(cell.reading().value.value == doctest::Approx(209'500.0).epsilon(1e-3));
  CHECK(feed(cell, 0.0).reason == Reason::warming_up);
}

TEST_CASE(
    "a cell at full scale is an open circuit, a level no gas in an oven can have is a range") {
  OxygenCell cell;
  feed(cell, 0.0, hot, 20);
  CHECK(feed(cell, 450.0).reason == Reason::open_circuit);
  CHECK(cell.reading().value.value == doctest::Approx(209'500.0).epsilon(1e-3));
  CHECK(feed(cell, 400.0).reason == Reason::under_range);
  CHECK(feed(cell, -50.0).reason == Reason::over_range);
  CHECK(feed(cell, 168.562).valid());
  CHECK(cell.reading().value.value == doctest::Approx(100.0).epsilon(1e-3));
}

TEST_CASE("the cell's own temperature counts, not its set temperature") {
  OxygenCell cell;
  const float in_cooler_cell = feed(cell, 168.562, at(740.0F), 20).value.value;
  OxygenCell other;
  const float in_hotter_cell = feed(other, 168.562, at(760.0F), 20).value.value;
  CHECK(in_cooler_cell < 95.0F);
  CHECK(in_hotter_cell > 105.0F);
}

TEST_CASE("Nernst oxygen stays finite for any voltage and temperature") {
  for (const float mV : {-1e30F, -50.0F, 0.0F, 450.0F, 1e30F}) {
    for (const float degC : {-1e30F, -300.0F, -273.15F, 0.0F, 750.0F, 1e30F}) {
      const float ppm = nernst_oxygen(Millivolts(mV), Celsius(degC)).value;
      CHECK(ppm >= 0.0F);
      CHECK(ppm <= 1'000'000.0F);
    }
  }
}
