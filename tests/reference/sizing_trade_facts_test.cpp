/// What people who run such ovens take for granted: common practice, no source. Sizing of the demo
/// machines, which are invented, must show it.
#include <doctest/doctest.h>

#include "sim/machine/load.hpp"
#include "sim/sizing/size.hpp"

using namespace ovenproof;
using namespace ovenproof::sizing;

namespace {

machine::Machine demo(const char* name) {
  return std::get<machine::Machine>(
      machine::load_file(std::string(SOURCE_DIR) + "/scenarios/machines/" + name + ".yaml"));
}

double predicted(const Sizing& sizing, std::string_view id) {
  const Figure* figure = find_figure(sizing.figures, id);
  REQUIRE(figure != nullptr);
  REQUIRE(figure->predicted);
  return *figure->predicted;
}

}  // namespace

TEST_CASE(
    "high purge flow first, then a process flow just sufficient to hold, saves most of the gas") {
  // Common practice, no source.
  for (const char* const name : {"bronze_strip_160", "coil_anneal_300", "titanium_bracket_90"}) {
    CAPTURE(name);
    machine::Machine m = demo(name);
    m.plant.blanket = {};  // whose sweep holds part of the level
    const Sizing sizing = size(m, formulas_alone());
    CHECK(predicted(sizing, "least_process_flow") < 0.25 * m.plant.supply.purge_L_per_min);
    CHECK(predicted(sizing, "least_process_flow") < m.plant.supply.process_L_per_min);
    CHECK(predicted(sizing, "gas_saved") > 50.0);
    CHECK(predicted(sizing, "gas_saved_least") > predicted(sizing, "gas_saved"));
    // Purging at process flow from the start would take several times as long.
    machine::Machine slow = m;
    slow.plant.supply.purge_L_per_min = m.plant.supply.process_L_per_min;
    CHECK(predicted(size(slow, formulas_alone()), "gate_time") >
          4.0 * predicted(sizing, "gate_time"));
  }
}

TEST_CASE("where cooling power is about the heating power, it cools about as fast as it heats") {
  // Common practice, no source. The 160 L oven loses some 10 kW to its jacket air and is heated
  // with some 7 kW.
  const machine::Machine m = demo("bronze_strip_160");
  const Sizing sizing = size(m, formulas_alone());
  const double power = predicted(sizing, "cool_power") / predicted(sizing, "heat_up_power");
  CHECK(power > 0.7);
  CHECK(power < 1.5);
  const double heat_K_per_min = 530.0 / predicted(sizing, "heat_up_time");
  const double cool_K_per_min = 490.0 / predicted(sizing, "cool_jacket");
  CHECK(cool_K_per_min / heat_K_per_min == doctest::Approx(power).epsilon(0.15));
}

TEST_CASE("without jacket air it cools for hours, and a running fan alone keeps it warm") {
  // Common practice, no source.
  const Sizing titanium = size(demo("titanium_bracket_90"), formulas_alone());
  CHECK(predicted(titanium, "cool_still") > 3.0);
  const Sizing bronze = size(demo("bronze_strip_160"), formulas_alone());
  CHECK(predicted(bronze, "cool_jacket") < 60.0);
  CHECK(predicted(bronze, "cool_still_end") > 60.0);
}
