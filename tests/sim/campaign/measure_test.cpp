#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/campaign/hazard_measure.hpp"
#include "sim/hazards/hazards.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

TEST_CASE("every default hazard has a measure, and an oven at rest is beyond none") {
  const plant::Truth rest{.gas_degC = 20.0, .oxygen = 0.2095, .room_oxygen = 0.2095};
  for (std::size_t i = 0; i < hazards::default_hazards().size(); ++i) {
    CAPTURE(hazards::default_hazards()[i].id);
    const Excess now =
        excess(i, {rest, {}, false, test::quick_campaign().nominal().oven().oven.plant});
    CHECK_FALSE(now.present);
    CHECK(now.beyond == 0.0);
  }
}

TEST_CASE("a measure tells how far beyond the limit, in the hazard's own unit") {
  const scenario::OvenContext& oven = test::quick_campaign().nominal().oven();
  plant::Truth truth{.room_oxygen = 0.2095};
  truth.wall_degC = oven.oven.plant.wall.max_temperature_degC + 7.0;
  const auto& all = hazards::default_hazards();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].id != "chamber_too_hot") continue;
    CHECK(excess(i, {truth, {}, false, oven.oven.plant}).beyond == doctest::Approx(7.0));
    CHECK(excess(i, {truth, {}, false, oven.oven.plant}).unit == "K");
    truth.wall_degC -= 7.0;
    CHECK_FALSE(excess(i, {truth, {}, false, oven.oven.plant}).present);
  }
}
