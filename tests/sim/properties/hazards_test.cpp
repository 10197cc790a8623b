#include "sim/properties/hazards.hpp"

#include <set>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "monitored.hpp"
#include "rig_table.hpp"

namespace ovenproof::properties {
namespace {

/// A run told by what is not as in a cold, shut oven standing in air.
class Story {
 public:
  Story() : table_(test::rig_table()), row_(table_.signals().size(), 0.0) {
    for (const char* name : {"plant.element", "plant.gas", "plant.wall", "plant.load"})
      set(name, 20);
    set("plant.oxygen", 209500);
    set("plant.room_oxygen", 209500);
    set("plant.damper_opening", 0);
  }

  Story& set(const std::string& name, double value) {
    row_[table_.find_signal(name).value()] = value;
    return *this;
  }

  Story& run(double seconds) {
    for (int i = 0; i < static_cast<int>(seconds * 100 + 0.5); ++i) rows_.push_back(row_);
    return *this;
  }

  /// Ids of the hazards that came about.
  [[nodiscard]] std::set<std::string> met() const {
    std::vector<Property> properties;
    for (const Hazard& hazard : default_hazards()) {
      properties.push_back(test::property_of(std::string(hazard.text), table_));
    }
    MonitorSet monitor(properties);
    for (const auto& row : rows_) monitor.step(row);
    std::set<std::string> result;
    const std::vector<Verdict> verdicts = monitor.finish();
    for (std::size_t i = 0; i < verdicts.size(); ++i) {
      CHECK(verdicts[i].outcome != Outcome::undecided);
      if (verdicts[i].outcome == Outcome::violated) result.emplace(default_hazards()[i].id);
    }
    return result;
  }

 private:
  SignalTable table_;
  std::vector<double> row_;
  std::vector<std::vector<double>> rows_;
};

/// A started cycle with heat on, air moving and the chamber purged.
Story heating() {
  Story story;
  story.run(1).set("operator.starts", 1).run(0.01).set("operator.starts", 0);
  story.set("plant.oxygen", 40).set("plant.fan_airflow", 1).set("plant.process_flow", 15);
  story.set("plant.process_valve", 1).run(1).set("plant.heater_power", 9000).run(10);
  return story;
}

using Met = std::set<std::string>;

TEST_CASE("An oven that stands, and one that heats as it should, meet no hazard") {
  CHECK(Story().run(10).met() == Met{});
  CHECK(heating().set("plant.gas", 800).set("plant.load", 790).run(10).met() == Met{});
}

TEST_CASE("Heat with the door open is met after the shutdown time, and not before") {
  CHECK(heating()
            .set("plant.door_opening", 0.5)
            .set("plant.process_flow", 0)
            .run(0.4)
            .set("plant.heater_power", 0)
            .run(5)
            .met() == Met{});
  CHECK(heating()
            .set("plant.door_opening", 0.5)
            .set("plant.process_flow", 0)
            .run(0.6)
            .set("plant.heater_power", 0)
            .run(5)
            .met() == Met{"heat-with-door-open"});
}

TEST_CASE("Heat without airflow is met after the fan has had time to be missed") {
  CHECK(
      heating().set("plant.fan_airflow", 0.1).run(2.9).set("plant.heater_power", 0).run(5).met() ==
      Met{});
  CHECK(heating().set("plant.fan_airflow", 0.1).run(3.1).met() == Met{"heat-without-airflow"});
}

TEST_CASE("Temperatures above the limits of chamber and elements are met at once") {
  CHECK(heating().set("plant.gas", 1049).set("plant.element", 1199).run(0.01).met() == Met{});
  CHECK(heating().set("plant.gas", 1051).run(0.01).met() == Met{"chamber-overtemperature"});
  CHECK(heating().set("plant.wall", 1051).run(0.01).met() == Met{"chamber-overtemperature"});
  CHECK(heating().set("plant.element", 1201).run(0.01).met() == Met{"element-overtemperature"});
}

TEST_CASE("A load in oxygen is met only while it is hot, and heat only while there is oxygen") {
  CHECK(heating().set("plant.load", 240).set("plant.oxygen", 209500).run(1).met() == Met{});
  CHECK(heating().set("plant.load", 260).set("plant.oxygen", 900).run(1).met() == Met{});
  CHECK(heating().set("plant.load", 260).set("plant.oxygen", 1100).run(0.01).met() ==
        Met{"hot-load-in-oxygen"});
}

TEST_CASE("Gas at an open door is met after the valves have had time to shut, by either path") {
  for (const char* path : {"plant.purge_flow", "plant.process_flow"}) {
    CAPTURE(path);
    CHECK(Story().set("plant.door_opening", 1).set(path, 15).run(1.9).set(path, 0).run(5).met() ==
          Met{});
    CHECK(Story().set("plant.door_opening", 1).set(path, 15).run(2.1).met() ==
          Met{"gas-with-door-open"});
    CHECK(Story().set(path, 15).run(9).met() == Met{});
  }
}

TEST_CASE("Room oxygen is met below 19.5 percent and not at it") {
  CHECK(Story().set("plant.room_oxygen", 195000).run(1).met() == Met{});
  CHECK(Story().set("plant.room_oxygen", 194999).run(0.01).met() == Met{"room-oxygen-low"});
}

TEST_CASE("Heat must follow a start that nothing has ended since") {
  CHECK(Story().set("plant.fan_airflow", 1).set("plant.heater_power", 50).run(1).met() ==
        Met{"unexpected-start"});
  CHECK(heating()
            .set("operator.ends", 1)
            .run(0.4)
            .set("operator.ends", 0)
            .set("plant.heater_power", 0)
            .run(5)
            .met() == Met{});
  CHECK(heating().set("operator.ends", 1).run(0.4).set("operator.ends", 0).run(5).met() ==
        Met{"unexpected-start"});
  CHECK(heating()
            .set("operator.ends", 1)
            .set("plant.heater_power", 0)
            .run(1)
            .set("operator.ends", 0)
            .set("operator.starts", 1)
            .run(0.01)
            .set("operator.starts", 0)
            .set("plant.heater_power", 900)
            .run(5)
            .met() == Met{});
}

TEST_CASE("Both gas paths open at once are met, one of them is not") {
  CHECK(Story().set("plant.purge_valve", 1).set("plant.process_valve", 0.05).run(1).met() == Met{});
  CHECK(Story().set("plant.purge_valve", 0.2).set("plant.process_valve", 0.2).run(0.01).met() ==
        Met{"both-gas-paths-open"});
}

TEST_CASE("Overpressure is met at the limit") {
  CHECK(Story().set("plant.pressure", 1999).run(1).met() == Met{});
  CHECK(Story().set("plant.pressure", 2000).run(0.01).met() == Met{"chamber-overpressure"});
}

TEST_CASE("Blowers against a closed damper are met after their run-down") {
  CHECK(Story().set("plant.blower_speed", 1).run(4.9).set("plant.blower_speed", 0).run(9).met() ==
        Met{});
  CHECK(Story().set("plant.blower_speed", 1).set("plant.damper_opening", 0.9).run(9).met() ==
        Met{});
  CHECK(Story().set("plant.blower_speed", 1).run(5.1).met() ==
        Met{"blowers-against-closed-damper"});
}

TEST_CASE("Hazards have ids of their own and say what they can do") {
  std::set<std::string_view> ids;
  for (const Hazard& hazard : default_hazards()) {
    CHECK(ids.insert(hazard.id).second);
    CHECK_FALSE(hazard.title.empty());
    CHECK(hazard.consequence.ends_with('.'));
  }
  CHECK(ids.size() == 11);
}

}  // namespace
}  // namespace ovenproof::properties
