#include "sim/scenario/schema.hpp"

#include <filesystem>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "fixture.hpp"
#include "sim/hazards/requirements.hpp"
#include "sim/machine/yaml_tree.hpp"
#include "yaml_schema.hpp"

using namespace ovenproof;
using machine::Node;
using nlohmann::json;

namespace {

namespace fs = std::filesystem;

bool fits_schema(const std::string& text) {
  static const test::YamlSchema schema(scenario::json_schema());
  return schema.fits(text);
}

}  // namespace

TEST_CASE("The schema in docs is the one the tables give") {
  CHECK(test::bytes_of(SOURCE_DIR "/docs/scenario.schema.json") == scenario::json_schema());
}

TEST_CASE("Every example is read, and fits the schema") {
  std::size_t count = 0;
  for (const auto& each : fs::recursive_directory_iterator(SOURCE_DIR "/scenarios/cases")) {
    if (each.path().extension() != ".yaml") continue;
    CAPTURE(each.path().string());
    scenario::OvenBank bank;
    const auto read = scenario::read_file(each.path().string(), bank);
    CHECK(std::holds_alternative<std::vector<scenario::Case>>(read));
    CHECK(fits_schema(test::bytes_of(each.path())));
    ++count;
  }
  CHECK(count > 0);
}

TEST_CASE("What the schema refuses, the reader refuses") {
  const std::string good = test::head() + "until: 5 s\n";
  REQUIRE(fits_schema(good));
  REQUIRE(test::errors_of(good).empty());
  for (const std::string& bad :
       {std::string("machine: ../machines/bronze_strip_160.yaml\n"), good + "stepps: []\n",
        good + "steps: {at: 5 s}\n", good + "steps: [{att: 5 s, press: start}]\n",
        good + "steps: [{press: [start]}]\n", good + "expect: always true\n",
        good + "expect: [{trip: emergency_stop, named: x}]\n",
        good + "waive: [{hazard: overpressure}]\n", good + "table: {phase: {soak: 1}}\n",
        good + "covers: {a: b}\n",
        std::string("shows: x\nmachine: ../machines/bronze_strip_160.yaml\noverride: gate\n")}) {
    CAPTURE(bad);
    CHECK_FALSE(fits_schema(bad));
    CHECK_FALSE(test::errors_of(bad).empty());
  }
}

TEST_CASE("The scenarios in the document are read") {
  const std::string text = test::bytes_of(SOURCE_DIR "/docs/scenarios.md");
  std::size_t whole = 0;
  for (std::size_t at = 0; (at = text.find("```yaml\n", at)) != std::string::npos;) {
    at += 8;
    const std::string block = text.substr(at, text.find("```", at) - at);
    if (block.find("shows:") == std::string::npos) continue;
    ++whole;
    CHECK(test::errors_of(block) == "");
    CHECK(fits_schema(block));
  }
  CHECK(whole > 0);
}

TEST_CASE("Every kind of fault and every point is in the document") {
  const std::string text = test::bytes_of(SOURCE_DIR "/docs/scenarios.md");
  const auto named = [&](std::string_view name) {
    CHECK_MESSAGE(text.find(name) != std::string::npos, name);
  };
  for (const std::string_view each : mock::point_names) named(each);
  for (const std::string_view each : mock::fault_kind_names) named(each);
  for (const plant::FaultInfo& each : plant::fault_table) named(each.name);
}

TEST_CASE("Every requirement is in the document, word by word") {
  const std::string text = test::bytes_of(SOURCE_DIR "/docs/hazards.md");
  for (const hazards::Requirement& each : hazards::requirements()) {
    CHECK_MESSAGE(text.find("| `" + each.id + "` | " + each.text + " |") != std::string::npos,
                  each.id);
  }
}
