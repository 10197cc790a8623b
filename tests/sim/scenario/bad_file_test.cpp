#include <cstdlib>
#include <fstream>

#include <doctest/doctest.h>

#include "fixture.hpp"

using namespace ovenproof;

namespace {

/// What is said of a file of the folder `bad`, with paths as seen from there.
std::string said_of(const std::string& name) {
  const std::string folder = SOURCE_DIR "/tests/sim/scenario/bad/";
  scenario::OvenBank bank;
  const scenario::Read read = scenario::read_file(folder + name + ".yaml", bank);
  std::string all;
  if (const auto* errors = std::get_if<std::vector<machine::Error>>(&read)) {
    for (const machine::Error& each : *errors) all += to_text(each) + '\n';
  }
  for (std::size_t at = 0; (at = all.find(SOURCE_DIR "/")) != std::string::npos;) {
    all.erase(at, std::string(SOURCE_DIR "/").size());
  }
  return all;
}

void check_golden(const std::string& name) {
  const std::string path = SOURCE_DIR "/tests/sim/scenario/bad/" + name + ".txt";
  const std::string said = said_of(name);
  // UPDATE_GOLDEN=1 writes what is said now; read the difference before it is committed.
  if (std::getenv("UPDATE_GOLDEN") != nullptr) std::ofstream(path) << said;
  CHECK(said == test::bytes_of(path));
}

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t n = 0;
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; ++at) ++n;
  return n;
}

}  // namespace

TEST_CASE("A scenario with ten different mistakes gets ten errors with places") {
  check_golden("ten_mistakes");
  CHECK(count(said_of("ten_mistakes"), "ten_mistakes.yaml:") == 10);
}

TEST_CASE("Mistakes in the structure of a scenario are told in their places") {
  check_golden("structure");
}

TEST_CASE("Every mistake in a step is told in its place") { check_golden("steps"); }

TEST_CASE("Every mistake in an expectation is told in its place") { check_golden("expectations"); }

TEST_CASE("A mistake met in every row of a table is told once") {
  const std::string text = test::head() +
                           "table: {a: [1 s, 2 s, 3 s]}\n"
                           "steps: [{at: '{a}', press: nothing}]\n";
  CHECK(count(test::errors_of(text), "expected start, stop, reset or limiter_reset") == 1);
}

TEST_CASE("A mistake of one row alone names the place of the text it comes from") {
  const std::string errors = test::errors_of(
      test::head() + "table: {a: [1 s, 2 kg]}\nsteps: [{at: '{a}', press: start}]\n");
  CHECK(errors.find("test.yaml:6:14: steps[1].at: expected a duration") != std::string::npos);
  CHECK(errors.find("\"2 kg\"") != std::string::npos);
}

TEST_CASE("A property's mistake is told at its own column, in plain and in quoted text") {
  const std::string errors = test::errors_of(test::head() +
                                             "expect:\n"
                                             "  - always plant.gass < 5 degC\n"
                                             "  - \"always plant.gass < 5 degC\"\n");
  CHECK(errors.find("test.yaml:6:12: ") != std::string::npos);
  CHECK(errors.find("test.yaml:7:13: ") != std::string::npos);
}

TEST_CASE("An override's mistake is told in the scenario, another's in the machine file") {
  const std::string errors = test::errors_of(
      "shows: x\nmachine: ../machines/bronze_strip_160.yaml\n"
      "override:\n  purge:\n    gatee: 5 ppm\n    hold_limit: 50 ppm\n");
  CHECK(errors.find("test.yaml:5:5: override.purge.gatee: expected") != std::string::npos);
  CHECK(errors.find("did you mean gate?") != std::string::npos);
  CHECK(errors.find("50 ppm") != std::string::npos);
}

TEST_CASE("A mistake of the machine file that an override brings names the scenario") {
  const std::string errors = test::errors_of(
      "shows: x\nmachine: ../machines/bronze_strip_160.yaml\n"
      "override:\n  purge: {chamber_volume: 2000 L}\n");
  CHECK(errors.find("bronze_strip_160.yaml:") != std::string::npos);
  CHECK(errors.find("with the override of ") != std::string::npos);
  CHECK(errors.find("test.yaml:3)") != std::string::npos);
}

TEST_CASE("Empty, binary, cut and deep files get errors") {
  for (const std::string& text :
       {std::string(), std::string("\0\1\2", 3), std::string("# nothing"), std::string("- a\n- b"),
        std::string("shows: \"cut off"), std::string(500, '['), std::string("a: &x [*x]"),
        std::string("\xFF\xFE")}) {
    CHECK_FALSE(test::errors_of(text).empty());
  }
}

TEST_CASE("Every cut of a scenario is read or refused, and nothing else") {
  const std::string whole = test::bytes_of(SOURCE_DIR "/scenarios/cases/door_in_cycle.yaml");
  REQUIRE(whole.size() > 500);
  CHECK(test::errors_of(whole).empty());
  for (std::size_t length = 0; length < whole.size(); length += 7) {
    test::errors_of(whole.substr(0, length));
  }
}

TEST_CASE("Every changed byte of a scenario is read or refused, and nothing else") {
  const std::string whole = test::bytes_of(SOURCE_DIR "/scenarios/cases/door_in_cycle.yaml");
  for (std::size_t i = 0; i < whole.size(); i += 11) {
    for (const char c : {'{', '\0', '\n', '-', '9'}) {
      std::string changed = whole;
      changed[i] = c;
      test::errors_of(changed);
    }
  }
}
