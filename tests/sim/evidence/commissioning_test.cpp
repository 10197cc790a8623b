#include <array>
#include <map>
#include <set>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "findings.hpp"
#include "firmware/conditioning/oxygen_cell.hpp"
#include "firmware/logic/matrix.hpp"
#include "sim/evidence/loop_checks.hpp"
#include "sim/evidence/page.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/trip_tests.hpp"

namespace ovenproof::evidence {
namespace {

using nlohmann::json;

/// The demo machine with every choice of its options.
std::vector<machine::Machine> every_machine() {
  std::vector<machine::Machine> machines;
  for (const auto sensor : {settings::OxygenSensor::none, settings::OxygenSensor::zirconia_cell,
                            settings::OxygenSensor::transmitter}) {
    for (const bool jacket : {false, true}) {
      for (const std::uint8_t door_contacts : {1, 2}) {
        for (const std::uint8_t thermocouples : {1, 2}) {
          machine::Machine machine = sound_findings().machine;
          machine.settings.options.oxygen_sensor = sensor;
          machine.settings.options.jacket_cooling = jacket;
          machine.settings.options.door_contacts = door_contacts;
          machine.settings.options.thermocouples = thermocouples;
          machines.push_back(machine);
        }
      }
    }
  }
  return machines;
}

/// The first step is an isolation, or says why there is none.
bool isolates(const json& row) {
  const auto first = row["isolate"].get<std::string>();
  const std::string none = "No isolation: ";
  return first.starts_with("Isolate ") ||
         (first.starts_with(none) && first.size() > none.size() + 10);
}

TEST_CASE("every test on every machine begins with isolation and ends with restoration") {
  for (const machine::Machine& machine : every_machine()) {
    const json sheet = commissioning_section(machine);
    REQUIRE(sheet["loop_checks"].size() > 20);
    REQUIRE(sheet["witnessed"].size() > 20);
    for (const char* part : {"loop_checks", "witnessed"}) {
      for (const json& row : sheet[part]) {
        CAPTURE(row.dump());
        CHECK(isolates(row));
        CHECK(row["do"].get<std::string>().size() > 10);
        CHECK(row["restore"].get<std::string>().size() > 5);
      }
    }
    for (const json& row : sheet["loop_checks"])
      CHECK(row["expect"].get<std::string>().size() > 10);
  }
}

TEST_CASE("the instruction for the open door has the figures of the machine") {
  for (const machine::Machine& machine : every_machine()) {
    const json door = commissioning_section(machine)["unloading"];
    CHECK(door["airing_s"] == 120.0);
    CHECK(door["needed_s"].get<double>() >
          2.67 * machine.plant.door.exchange_time_s);  // stirred, without pockets
    CHECK(door["needed_s"].get<double>() < 120.0);
    CHECK(door["handling_degC"] == machine.plant.people.handling_temperature_degC);
    CHECK(door["unload_degC"].get<double>() == machine.settings.cooling.unload_temperature.value);
  }
  machine::Machine slow = every_machine().front();
  slow.plant.door.exchange_time_s = 3600.0;
  CHECK(commissioning_section(slow)["unloading"]["needed_s"].is_null());
}

TEST_CASE("each kind of device has a check of its own") {
  const std::map<std::string, std::string> kind_of{{"door_closed_1", "door"},
                                                   {"door_closed_2", "door"},
                                                   {"purge_flow", "gas flow"},
                                                   {"process_flow", "gas flow"},
                                                   {"k1_open", "mirror"},
                                                   {"k2_open", "mirror"},
                                                   {"damper_open", "end"},
                                                   {"damper_closed", "end"},
                                                   {"te_a", "thermocouple"},
                                                   {"te_b", "thermocouple"},
                                                   {"k1", "contactor"},
                                                   {"k2", "contactor"},
                                                   {"fan", "motor"},
                                                   {"blower", "motor"},
                                                   {"purge_valve", "gas valve"},
                                                   {"process_valve", "gas valve"},
                                                   {"start_button", "button"},
                                                   {"reset_button", "button"}};
  std::map<std::string, std::string> kind_with;
  for (const machine::Point& point : machine::all_points()) {
    const std::string key(point.key);
    const auto given = kind_of.find(key);
    const std::string kind = given == kind_of.end() ? key : given->second;
    const LoopCheck& check = loop_check_of(point);
    const std::string text = std::string(check.isolate) + check.act + check.expect + check.restore;
    const auto [known, fresh] = kind_with.emplace(text, kind);
    CAPTURE(key);
    CHECK(known->second == kind);
  }
}

TEST_CASE("what carries energy is isolated at that energy") {
  const std::map<std::string, std::string> energy{{"k1", "heater supply"},
                                                  {"k2", "heater supply"},
                                                  {"k1_open", "heater supply"},
                                                  {"k2_open", "heater supply"},
                                                  {"heater_drive", "heater supply"},
                                                  {"fan", "motor supply"},
                                                  {"blower", "motor supply"},
                                                  {"purge_valve", "inert gas"},
                                                  {"process_valve", "inert gas"},
                                                  {"purge_flow", "inert gas"},
                                                  {"process_flow", "inert gas"},
                                                  {"gas_supply_ok", "gas"},
                                                  {"damper", "blowers"},
                                                  {"damper_open", "drive"},
                                                  {"door_closed_1", "gas"},
                                                  {"fan_running", "fan's motor"}};
  std::size_t checked = 0;
  for (const machine::Point& point : machine::all_points()) {
    const auto found = energy.find(std::string(point.key));
    if (found == energy.end()) continue;
    const std::string first = loop_check_of(point).isolate;
    CAPTURE(point.key);
    CHECK(first.find(found->second) != std::string::npos);
    CHECK(first.find("locked and tagged") != std::string::npos);
    ++checked;
  }
  CHECK(checked == energy.size());
}

TEST_CASE("nobody is asked for what can hurt or cannot be done") {
  // No maintenance function exists; settings below the programme's needs are refused.
  constexpr std::array phrases{"hermocouple out of the chamber, or",
                               "if its oxygen monitor warns",
                               "if its monitor warns",
                               "maintenance function",
                               "The device moves",
                               "the elements' fuses, and start",
                               "horten the timeout",
                               "ower the control limit",
                               "ower the limiter's set point",
                               "hold the damper, or",
                               "leave a small leak open"};
  for (const machine::Machine& machine : every_machine()) {
    Findings findings = sound_findings();
    findings.machine = machine;
    const std::string all = page("title", made(findings).dump());
    for (const char* phrase : phrases) {
      CAPTURE(phrase);
      CHECK(all.find(phrase) == std::string::npos);
    }
  }
}

TEST_CASE("a cause that cannot occur on a machine is not on its sheet") {
  const auto on_sheet = [](const machine::Machine& machine, const char* cause) {
    const json sheet = commissioning_section(machine);
    std::set<std::string> causes;
    for (const json& row : sheet["witnessed"]) {
      causes.insert(row["cause"].get<std::string>());
    }
    return causes.contains(cause);
  };
  for (const machine::Machine& machine : every_machine()) {
    const settings::Options& options = machine.settings.options;
    CHECK(on_sheet(machine, "thermocouples_disagree") == (options.thermocouples >= 2));
    CHECK(on_sheet(machine, "door_contacts_disagree") == (options.door_contacts >= 2));
    CHECK(on_sheet(machine, "blower_unexpected") == options.jacket_cooling);
    CHECK(on_sheet(machine, "oxygen_frozen") ==
          (options.oxygen_sensor != settings::OxygenSensor::none));
    CHECK(on_sheet(machine, "emergency_stop"));
  }
}

TEST_CASE("the firmware reads the signals of the oxygen check as the sheet expects") {
  const machine::Point& cell = machine::all_points()[static_cast<std::size_t>(
      hal::digital_in_count + static_cast<std::size_t>(hal::AnalogIn::oxygen_cell))];
  const std::string act = loop_check_of(cell).act;
  REQUIRE(act.find("0, 67.1 and 168.6 mV") != std::string::npos);
  const auto read = [](float mV) {
    return conditioning::nernst_oxygen(Millivolts(mV), Celsius(750.0F)).value;
  };
  CHECK(read(0.0F) == doctest::Approx(209'500.0).epsilon(0.0001));
  CHECK(read(67.1F) == doctest::Approx(10'000.0).epsilon(0.005));
  CHECK(read(168.6F) == doctest::Approx(100.0).epsilon(0.005));
}

}  // namespace
}  // namespace ovenproof::evidence
