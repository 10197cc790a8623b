#include <string>

#include <doctest/doctest.h>

#include "sim/machine/load.hpp"
#include "sim/machine/warnings.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;

namespace {

std::vector<Error> warnings_of(const std::string& text) {
  REQUIRE(std::holds_alternative<Machine>(load_text(text, "oven.yaml")));
  std::vector<Error> found = warnings_in_text(text, "oven.yaml");
  // A changed machine needs to be signed for again: sign_off_test.cpp.
  std::erase_if(found, [](const Error& each) { return each.key == "sign_off.digest"; });
  return found;
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), by);
}

}  // namespace

TEST_CASE("the demo machines leave nothing to be looked at but their single sensors") {
  for (const std::string& file : test::demo_files) {
    CAPTURE(file);
    for (const Error& each : warnings_of(test::contents(file))) {
      const bool single =
          each.key == "options.thermocouples" || each.key == "options.door_contacts";
      CHECK(single);
      CHECK(each.found == "1");
    }
  }
}

TEST_CASE("a single thermocouple and a single door contact are pointed at, two of each are not") {
  const std::string two = test::contents(test::demo_files[0]);
  CHECK(warnings_of(two).empty());
  const auto thermocouple = warnings_of(replaced(two, "thermocouples: 2", "thermocouples: 1"));
  REQUIRE(thermocouple.size() == 1);
  CHECK(thermocouple[0].key == "options.thermocouples");
  CHECK(thermocouple[0].expected.find("a hot load may be unloaded") != std::string::npos);
  const auto contact = warnings_of(replaced(replaced(two, "door_contacts: 2", "door_contacts: 1"),
                                            "start_by_door: true", "start_by_door: false"));
  REQUIRE(contact.size() == 1);
  CHECK(contact[0].key == "options.door_contacts");
  CHECK(contact[0].expected.find("with the door open") != std::string::npos);
}

TEST_CASE("a safety channel whose input only the controller reads is pointed at without it") {
  const std::string demo = test::contents(test::demo_files[0]);
  const std::string as_wired = "channel_2: [door contact 2, controller, contactor Q1]";
  const auto found =
      warnings_of(replaced(demo, as_wired, "channel_2: [door contact 2, contactor Q1]"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "safety.functions[1].channel_2");
  CHECK(found[0].expected.find("ZS-2 is not in the hard-wired chain") != std::string::npos);
  // In the chain itself: nothing is between.
  CHECK(warnings_of(replaced(demo, as_wired, "channel_2: [limiter, contactor Q1]")).empty());
  // Nothing can be decided of a component without failure modes.
  CHECK(warnings_of(replaced(replaced(demo, as_wired, "channel_2: [door contact 2, contactor Q1]"),
                             "\n      modes: [ZS-2.bridged]", ""))
            .empty());
}

TEST_CASE("a limiter set higher than the load stands is pointed at") {
  const std::string demo = test::contents(test::demo_files[0]);
  const std::string stands = "  max_temperature: 600 degC # the limiter keeps it";
  const auto found = warnings_of(replaced(demo, stands, "  max_temperature: 590 degC"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "limiter.set_point");
  CHECK(found[0].expected.find("at most load.max_temperature") != std::string::npos);
}

TEST_CASE("a purge too short for slow pockets is pointed at, with what they still hold") {
  const std::string slow = "mixing:\n  pocket_time_fan: 200 s\n";
  const auto gate = warnings_of(test::contents(test::demo_files[0]) + slow);
  REQUIRE(gate.size() == 1);
  CHECK(gate[0].key == "purge.gate_hold");
  CHECK(gate[0].expected.find("hold about 1819 ppm") != std::string::npos);
  CHECK(warnings_of(
            replaced(test::contents(test::demo_files[0]), "gate_hold: 30 s", "gate_hold: 5 min") +
            slow)
            .empty());
  const auto volumes = warnings_of(
      replaced(test::contents(test::demo_files[2]), "door_contacts: 1", "door_contacts: 2") + slow);
  REQUIRE(volumes.size() == 1);
  CHECK(volumes[0].key == "purge.minimum_volumes");
}

TEST_CASE("debounce takes no time where a fan's airflow is lost, which is believed at once") {
  // 6 s to run down and 0.5 s of switch; an airflow switch that opens is believed at once.
  const std::string text = test::contents(test::demo_files[0]) +
                           "contacts:\n  contact_debounce: 400 ms\n"
                           "timing:\n  contactor_response: 1 s\n  fan_stop: ";
  CHECK(std::holds_alternative<Machine>(load_text(text + "6.7 s\n", "oven.yaml")));
  CHECK_FALSE(std::holds_alternative<Machine>(load_text(text + "6.5 s\n", "oven.yaml")));
}

TEST_CASE("a target below the one before is pointed at, in its place, with the one before") {
  // 120, 250, 350 degC
  const std::string good =
      replaced(test::contents(test::demo_files[2]), "door_contacts: 1", "door_contacts: 2");
  const auto found = warnings_of(replaced(good, "target: 350 degC", "target: 249 degC"));
  REQUIRE(found.size() == 1);
  const std::string text = to_text(found[0]);
  CAPTURE(text);
  CHECK(found[0].key == "programme.segments[3].target");
  CHECK(found[0].at.line > 1);
  CHECK(found[0].found == "249 degC");
  CHECK(text.find("a target not below the one before") != std::string::npos);
  REQUIRE(found[0].related.size() == 1);
  CHECK(found[0].related[0].key == "programme.segments[2].target");
  CHECK(found[0].related[0].at.line == found[0].at.line - 3);
  // As high as the one before is no step down.
  CHECK(warnings_of(replaced(good, "target: 350 degC", "target: 250 degC")).empty());
}

TEST_CASE("a purge timeout that a cold oxygen cell would use up is pointed at") {
  const std::string good = test::contents(test::demo_files[0]);
  // 4.6 x 200 s to warm up, 120 s to settle, and 12.2 min of purge: 1775 s.
  const auto found = warnings_of(replaced(good, "timeout: 40 min", "timeout: 29 min"));
  REQUIRE(found.size() == 1);
  const std::string text = to_text(found[0]);
  CAPTURE(text);
  CHECK(found[0].key == "purge.timeout");
  CHECK(text.find("longer than 1775 s: the oxygen reading takes 1040 s") != std::string::npos);
  CHECK(text.find("oxygen.warm_up_time_constant") != std::string::npos);
  CHECK(warnings_of(replaced(good, "timeout: 40 min", "timeout: 30 min")).empty());
  // A quicker cell leaves the time.
  CHECK(warnings_of(replaced(good, "timeout: 40 min", "timeout: 29 min") +
                    "\noxygen:\n  warm_up_time_constant: 150 s\n")
            .empty());
}

TEST_CASE("an oven without an oxygen monitor waits for no cell") {
  CHECK(warnings_of(replaced(replaced(test::contents(test::demo_files[2]), "timeout: 45 min",
                                      "timeout: 22 min"),
                             "door_contacts: 1", "door_contacts: 2"))
            .empty());
}

TEST_CASE("a file with errors has those, and no warnings") {
  CHECK(warnings_in_text("name: [a]", "oven.yaml").empty());
  CHECK(warnings_in_file("/no/such/file").empty());
}

TEST_CASE(
    "a process flow that holds the hold limit but not the gate is pointed at, with the figures") {
  const std::string good = test::contents(test::demo_files[0]);
  const auto found = warnings_of(replaced(good, "process_flow: 20 L/min", "process_flow: 2 L/min"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "purge.process_flow");
  CHECK(found[0].expected.find("is 217 ppm") != std::string::npos);
  CHECK(found[0].expected.find("500 ppm, which is 2.3 times the floor") != std::string::npos);
  CHECK(warnings_of(replaced(good, "process_flow: 20 L/min", "process_flow: 6 L/min")).empty());
}

namespace {

/// The first demo machine with the default temperature controller.
std::string with_default_controller() {
  std::string text = test::contents(test::demo_files[0]);
  const std::size_t at = text.find("control: #");
  REQUIRE(at != std::string::npos);
  return text.erase(at, text.find("\n\n", at) - at);
}

}  // namespace

TEST_CASE("overshoot of the default controller into the over-temperature limit is pointed at") {
  std::string text = replaced(with_default_controller(), "power: 12 kW", "power: 24 kW");
  text = replaced(text, "ramp: 8 K/min", "ramp: 14 K/min");
  CHECK(warnings_of(text).empty());
  const auto found = warnings_of(replaced(text, "high_limit: 580 degC", "high_limit: 565 degC"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "temperature.high_limit");
  CHECK(found[0].found == "565 degC");
  CHECK(found[0].expected.find("above 568.4 degC, which the control temperature reaches in "
                               "segment 1 (target 550 degC)") == 0);
  CHECK(to_text(found[0]).find("control.integral_time: 10 min") != std::string::npos);
}

TEST_CASE("overshoot into the limiter is pointed at") {
  const std::string text = with_default_controller();
  const auto found = warnings_of(replaced(text, "limiter:\n", "limiter:\n  element_share: 60 %\n"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "limiter.set_point");
  CHECK(found[0].expected.find("above 612.8 degC, which the limiter's sensor") == 0);
  CHECK(warnings_of(text).empty());
}

TEST_CASE("an unload temperature above the settled temperature is pointed at, with both times") {
  const std::string good =
      replaced(test::contents(test::demo_files[0]), "handling_temperature: 100 degC",
               "handling_temperature: 120 degC");
  const auto found =
      warnings_of(replaced(good, "unload_temperature: 60 degC", "unload_temperature: 120 degC"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "cooling.unload_temperature");
  CHECK(found[0].expected.find("at 120 degC 25.6 min after the end of heat") != std::string::npos);
  CHECK(found[0].expected.find("only 34.8 min after") != std::string::npos);
  CHECK(warnings_of(replaced(good, "unload_temperature: 60 degC", "unload_temperature: 80 degC"))
            .empty());
}

TEST_CASE("gas that settles long after the chamber is cool is pointed at, with both times") {
  const std::string good = test::contents(test::demo_files[0]);
  const auto found = warnings_of(replaced(good, "settled_shrink: 1.5", "settled_shrink: 0.2"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "cooling.settled_shrink");
  CHECK(found[0].expected.find("above 0.81 L/min") != std::string::npos);
  CHECK(found[0].expected.find("42.6 min after the end of heat") != std::string::npos);
  CHECK(found[0].expected.find("only 69.4 min after") != std::string::npos);
  CHECK(warnings_of(replaced(good, "settled_shrink: 1.5", "settled_shrink: 0.9")).empty());
}

TEST_CASE("an unload temperature that the fan's work keeps out of reach is pointed at") {
  const std::string text = replaced(test::contents(test::demo_files[0]), "unload_temperature: 60",
                                    "unload_temperature: 22");
  const auto found = warnings_of(text);
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "cooling.unload_temperature");
  CHECK(found[0].expected.find("24 h after the end of heat the chamber is at") !=
        std::string::npos);
}

TEST_CASE("an airing shorter than the door's own exchange is pointed at, a longer one is not") {
  const std::string text = test::contents(test::demo_files[0]);
  const auto with_airing = [&](const std::string& airing) {
    return warnings_of(replaced(text, "people:", "people:\n  airing: " + airing + " #"));
  };
  // 12 s of exchange: 2.67 time constants for a stirred chamber, longer for its pockets.
  CHECK(with_airing("60 s").empty());
  for (const char* airing : {"0 s", "30 s", "40 s"}) {
    const auto found = with_airing(airing);
    REQUIRE(found.size() == 1);
    CHECK(found[0].key == "people.airing");
    CHECK(found[0].expected.find("below 19.5 % oxygen") != std::string::npos);
  }
  const auto slow_door = warnings_of(replaced(text, "door:\n", "door:\n  exchange_time: 60 s\n"));
  REQUIRE(slow_door.size() == 1);
  CHECK(slow_door[0].key == "door.exchange_time");
}

TEST_CASE("a load that is unloaded hotter than people may touch is pointed at") {
  const std::string text = test::contents(test::demo_files[0]);
  const auto found = warnings_of(
      replaced(text, "handling_temperature: 100 degC", "handling_temperature: 59 degC"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "people.handling_temperature");
  CHECK(found[0].expected.find("too hot to touch") != std::string::npos);
  CHECK(
      warnings_of(replaced(text, "handling_temperature: 100 degC", "handling_temperature: 60 degC"))
          .empty());
}

namespace {

/// The warnings of the first demo machine with some text replaced or added.
std::vector<Error> warnings_with(const std::string& what, const std::string& by) {
  return warnings_of(replaced(test::contents(test::demo_files[0]), what, by));
}

}  // namespace

TEST_CASE("a hold at the gate shorter than the reading lags is pointed at") {
  CHECK(warnings_with("gate_hold: 30 s", "gate_hold: 20 s").empty());
  const auto found = warnings_with("gate_hold: 30 s", "gate_hold: 5 s");
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "purge.gate_hold");
}

TEST_CASE("a door contact that still proves a door closed that is judged open is pointed at") {
  const std::string text = test::contents(test::demo_files[0]);
  const auto found = warnings_of(replaced(text, "gas_valve_opening: 4 %",
                                          "gas_valve_opening: 5 %\n  contact_2_opening: 2.5 %"));
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "door.contact_2_opening");
}

TEST_CASE("a diagnosis at the widest end of its range is pointed at, one short of it is not") {
  const auto found = warnings_with("\ntemperature:\n", "\ntemperature:\n  disagree_limit: 200 K\n");
  REQUIRE(found.size() == 1);
  CHECK(found[0].key == "temperature.disagree_limit");
  CHECK(warnings_with("\ntemperature:\n", "\ntemperature:\n  disagree_limit: 150 K\n").empty());
}
