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
        excess(i, {rest, {}, {}, test::quick_campaign().nominal().oven().oven.plant});
    CHECK_FALSE(now.present);
    CHECK(now.beyond == 0.0);
  }
}

TEST_CASE("what a load meets is measured in the zone with the most oxygen") {
  const plant::Parameters& oven = test::quick_campaign().nominal().oven().oven.plant;
  const double limit = oven.load.max_oxygen_ppm * 1e-6;
  const plant::Truth pockets{
      .load_degC = 500.0, .oxygen_pockets = 3.0 * limit, .room_oxygen = 0.2095, .heater_W = 10.0};
  const plant::Truth stirred{
      .load_degC = 500.0, .oxygen_stirred = 3.0 * limit, .room_oxygen = 0.2095, .heater_W = 10.0};
  const auto& all = hazards::default_hazards();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].id != "heat_in_air" && all[i].id != "load_hot_in_oxygen") continue;
    CAPTURE(all[i].id);
    for (const plant::Truth& truth : {pockets, stirred}) {
      CHECK(excess(i, {truth, {}, {}, oven}).present);
      CHECK(excess(i, {truth, {}, {}, oven}).beyond ==
            doctest::Approx(2.0 * oven.load.max_oxygen_ppm));
    }
  }
}

TEST_CASE("a measure tells how far beyond the limit, in the hazard's own unit") {
  const scenario::OvenContext& oven = test::quick_campaign().nominal().oven();
  plant::Truth truth{.room_oxygen = 0.2095};
  truth.wall_degC = oven.oven.plant.wall.max_temperature_degC + 7.0;
  const auto& all = hazards::default_hazards();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (all[i].id != "chamber_too_hot") continue;
    CHECK(excess(i, {truth, {}, {}, oven.oven.plant}).beyond == doctest::Approx(7.0));
    CHECK(excess(i, {truth, {}, {}, oven.oven.plant}).unit == "K");
    truth.wall_degC -= 7.0;
    CHECK_FALSE(excess(i, {truth, {}, {}, oven.oven.plant}).present);
  }
}

TEST_CASE("for somebody who reaches in, oxygen and temperature count, and for nobody else") {
  const plant::Parameters& plant = test::quick_campaign().nominal().oven().oven.plant;
  const double limit_degC = plant.people.handling_temperature_degC;
  const plant::Truth truth{
      .handled_degC = limit_degC + 12.0, .oxygen = 0.155, .room_oxygen = 0.2095};
  const plant::Truth harmless{.handled_degC = limit_degC, .oxygen = 0.195, .room_oxygen = 0.2095};
  const rig::Hands in{.door_open = true, .reaching_in = true};
  const rig::Hands out{.door_open = true};
  const auto& all = hazards::default_hazards();
  int judged = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool oxygen = all[i].id == "person_in_low_oxygen";
    if (!oxygen && all[i].id != "person_at_hot_surface") continue;
    ++judged;
    CHECK(excess(i, {truth, {}, in, plant}).present);
    CHECK(excess(i, {truth, {}, in, plant}).beyond == doctest::Approx(oxygen ? 4.0 : 12.0));
    CHECK(excess(i, {truth, {}, in, plant}).unit == (oxygen ? "percentage points" : "K"));
    CHECK_FALSE(excess(i, {truth, {}, out, plant}).present);
    CHECK_FALSE(excess(i, {harmless, {}, in, plant}).present);
  }
  CHECK(judged == 2);
}
