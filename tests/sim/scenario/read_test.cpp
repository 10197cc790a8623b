#include <doctest/doctest.h>

#include "fixture.hpp"
#include "folder.hpp"

using namespace ovenproof;

namespace {

std::vector<std::string> names(const std::vector<scenario::Case>& cases) {
  std::vector<std::string> all;
  for (const scenario::Case& each : cases) all.push_back(each.name);
  return all;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("A table of columns gives the cross product, the last column running fastest") {
  const auto cases = test::cases_of(
      "table: {phase: [ramp, soak], time: [1 s, 2 s]}\n"
      "start: in {phase}\nsteps: [{at: '{time}', press: stop}]\n");
  CHECK(names(cases) == Names{"test [phase=ramp, time=1 s]", "test [phase=ramp, time=2 s]",
                              "test [phase=soak, time=1 s]", "test [phase=soak, time=2 s]"});
  CHECK(cases[2].start.phase == logic::Phase::soak);
  CHECK(cases[3].steps[0].trigger.delay_ms == 2000);
}

TEST_CASE("A list of rows gives the product of each, one after the other") {
  const auto cases = test::cases_of(
      "table:\n  - {fault: te_a open, phase: [ramp, soak]}\n  - {fault: fan_stopped, phase: ramp}\n"
      "start: in {phase}\nsteps: [{at: 1 s, fault: '{fault}'}]\n");
  CHECK(names(cases) == Names{"test [fault=te_a open, phase=ramp]",
                              "test [fault=te_a open, phase=soak]",
                              "test [fault=fan_stopped, phase=ramp]"});
}

TEST_CASE("A column alone needs no quotes, though YAML takes it for a map") {
  const auto cases =
      test::cases_of("table: {time: [1 s, 2 s]}\nsteps: [{at: {time}, press: stop}]\n");
  CHECK(cases[1].steps[0].trigger.delay_ms == 2000);
}

TEST_CASE("A quoted value of a table stays text, and a plain one may be a truth") {
  const auto errors = [](const std::string& value) {
    return test::errors_of(
        "shows: x\nmachine: ../machines/bronze_strip_160.yaml\n"
        "table: {ducted: [" +
        value + "]}\noverride: {exhaust: {ducted: {ducted}}}\n");
  };
  CHECK(errors("true") == "");
  CHECK(errors("\"true\"").find("expected true or false") != std::string::npos);
}

TEST_CASE("A column called case names the cases") {
  const auto cases = test::cases_of(
      "table: [{case: early, time: 1 s}, {case: late, time: 1 h}]\n"
      "steps: [{at: '{time}', press: stop}]\n");
  CHECK(names(cases) == Names{"test [early]", "test [late]"});
}

TEST_CASE("A column that is used nowhere, and two cases of one name, are mistakes") {
  CHECK(test::errors_of(test::head() + "table: {time: [1 s]}\n").find("{time} is used") !=
        std::string::npos);
  CHECK(test::errors_of(test::head() +
                        "table: {time: [1 s, 1 s]}\nsteps: [{at: '{time}', press: stop}]\n")
            .find("rows that differ") != std::string::npos);
}

TEST_CASE("Braces that hold no column's name are left alone") {
  const auto cases = test::cases_of(
      "table: {phase: [ramp]}\nstart: in {phase}\n"
      "expect: ['always phase in {ramp, soak}', 'never phase in {standby}']\n");
  CHECK(cases[0].expectations[0].property.text() == "always phase in {ramp, soak}");
  CHECK(cases[0].expectations[1].property.text() == "never phase in {standby}");
}

TEST_CASE("More rows than anybody reads are refused") {
  std::string text = test::head() + "table: {a: [";
  for (int i = 0; i < 100; ++i) text += std::to_string(i) + ", ";
  text += "x], b: [";
  for (int i = 0; i < 100; ++i) text += std::to_string(i) + ", ";
  text += "x]}\nsteps: [{note: '{a} {b}'}]\n";
  CHECK(test::errors_of(text).find("at most 2000 rows") != std::string::npos);
}

TEST_CASE("Each machine of a list is a case of its own") {
  scenario::OvenBank bank;
  const auto read = scenario::read_text(
      "shows: x\nmachine: [../machines/bronze_strip_160.yaml, ../machines/coil_anneal_300.yaml]\n",
      SOURCE_DIR "/scenarios/cases/test.yaml", bank);
  const auto& cases = std::get<std::vector<scenario::Case>>(read);
  CHECK(names(cases) == Names{"test [machine=bronze_strip_160]", "test [machine=coil_anneal_300]"});
  CHECK(cases[1].oven->machine.name == "Coil annealing oven, 300 L");
}

TEST_CASE(
    "Machines whose files have one name are told apart by their paths, and none is named twice") {
  const auto read = [](const std::string& machines) {
    scenario::OvenBank bank;
    return scenario::read_text("shows: x\nmachine: " + machines + "\n",
                               SOURCE_DIR "/scenarios/cases/test.yaml", bank);
  };
  const auto two = read(
      "[../machines/bronze_strip_160.yaml, "
      "../cases/../machines/../machines/bronze_strip_160.yaml]");
  const auto& errors = std::get<std::vector<machine::Error>>(two);
  REQUIRE(errors.size() == 1);
  CHECK(errors[0].expected == "each machine file once");
  CHECK(errors[0].at.line == 2);

  const test::Folder of_its_own;
  const std::string folder = of_its_own.path().string();
  std::filesystem::copy_file(SOURCE_DIR "/scenarios/machines/bronze_strip_160.yaml",
                             of_its_own / "bronze_strip_160.yaml");
  const auto apart =
      read("[../machines/bronze_strip_160.yaml, " + folder + "/bronze_strip_160.yaml]");
  const auto& cases = std::get<std::vector<scenario::Case>>(apart);
  CHECK(names(cases) == Names{"test [machine=../machines/bronze_strip_160.yaml]",
                              "test [machine=" + folder + "/bronze_strip_160.yaml]"});
}

TEST_CASE("An override changes the key it names and leaves its neighbours") {
  scenario::OvenBank bank;
  const auto settings_with = [&](const std::string& over) {
    const auto read =
        scenario::read_text("shows: x\nmachine: ../machines/bronze_strip_160.yaml\n" + over,
                            SOURCE_DIR "/scenarios/cases/test.yaml", bank);
    return std::get<std::vector<scenario::Case>>(read).front().oven->oven.settings;
  };
  const auto plain = settings_with("");
  const auto changed = settings_with("override: {purge: {gate: 60 ppm}}\n");
  CHECK(changed.purge.gate.value == 60.0F);
  auto expected = plain;
  expected.purge.gate.value = 60.0F;
  CHECK(changed == expected);
}

TEST_CASE("Cases of one machine with the same overrides share their oven") {
  const auto cases = test::cases_of("table: {phase: [ramp, soak]}\nstart: in {phase}\n");
  CHECK(cases[0].oven == cases[1].oven);
}

TEST_CASE("Shorthands stand for the properties that the document says") {
  const auto cases = test::cases_of(
      "expect:\n"
      "  - trip: emergency_stop within 100 ms after hands.estop\n"
      "  - trip: gas_supply_lost within 5 s\n"
      "  - trip: k1_welded\n"
      "  - no_trip: true\n"
      "  - off: heat within 1 s after hands.stop or hands.estop\n"
      "  - off: fan, heater_drive within 1 s after hands.stop\n"
      "  - stays_off: everything within 1 s after hands.estop\n"
      "  - reaches: soak within 2 h after hands.start\n");
  const auto text = [&](std::size_t i) { return cases[0].expectations[i].property.text(); };
  CHECK(text(0) == "within 100 ms after (hands.estop): first_out = emergency_stop");
  CHECK(text(1) == "eventually within 5 s first_out = gas_supply_lost");
  CHECK(text(2) == "eventually first_out = k1_welded");
  CHECK(text(3) == "never rises(first_out != none)");
  CHECK(text(4) ==
        "within 1 s after (hands.stop or hands.estop): not (board.k1 or board.k2 or "
        "board.heater_drive > 0)");
  CHECK(text(5) == "within 1 s after (hands.stop): not (board.fan or board.heater_drive > 0)");
  CHECK(text(6) ==
        "never (board.anything and (once rises(hands.estop)) and not (once within 1 s "
        "rises(hands.estop)))");
  CHECK(text(7) == "within 2 h after (hands.start): phase = soak");
}

TEST_CASE("Settings and limits are constants of properties") {
  CHECK(test::errors_of(test::head() +
                        "expect: ['always plant.wall < limit.wall and"
                        " (board.k1 implies plant.oxygen < 2 * setting.purge.gate)',"
                        " 'within setting.timing.contactor_response after hands.estop: true']\n") ==
        "");
}
