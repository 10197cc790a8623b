#include <algorithm>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "sim/machine/keys.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/reference.hpp"
#include "sim/machine/schema.hpp"
#include "sim/machine/yaml_tree.hpp"
#include "written_machine.hpp"
#include "yaml_schema.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;
using nlohmann::json;

namespace {

bool fits_schema(const std::string& text) {
  static const test::YamlSchema schema(json_schema());
  return schema.fits(text);
}

bool loads(const std::string& text) {
  return std::holds_alternative<Machine>(load_text(text, "oven.yaml"));
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), by);
}

}  // namespace

TEST_CASE("docs/machine.schema.json is what the table of keys gives") {
  CHECK(test::contents(test::source_dir + "/docs/machine.schema.json") == json_schema());
}

TEST_CASE("docs/machine-keys.md is what the table of keys gives") {
  CHECK(test::contents(test::source_dir + "/docs/machine-keys.md") == key_reference());
}

TEST_CASE("the reference has one row for each key, and its tables are whole") {
  const std::string text = key_reference();
  for (const Key& key : all_keys()) {
    CAPTURE(key.path);
    const std::size_t at = text.find("\n| `" + key.path + "` | ");
    REQUIRE(at != std::string::npos);
    const std::string row = text.substr(at + 1, text.find('\n', at + 1) - at - 1);
    CHECK(std::count(row.begin(), row.end(), '|') == 7);
  }
}

TEST_CASE("the demo machines fit the schema, as they come and with every key stated") {
  for (const std::string& file : test::demo_files) {
    CAPTURE(file);
    CHECK(fits_schema(test::contents(file)));
    CHECK(fits_schema(test::written(test::must_load(file))));
  }
}

TEST_CASE("what the schema refuses, the loader refuses") {
  const std::string good = test::contents(test::demo_files[0]);
  struct Change {
    std::string what;
    std::string by;
  };
  for (const auto& [what, by] : std::initializer_list<Change>{
           {"gas: nitrogen", "gas: helium"},
           {"gas: nitrogen\n", "gas: nitrogen\n  pump: true\n"},
           {"purge_flow: 100 L/min", "purge_flow: 100"},
           {"purge_flow: 100 L/min", "purge_flow: 100 kg"},
           {"purge_flow: 100 L/min", "purge_flow: fast"},
           {"jacket_cooling: true", "jacket_cooling: yes please"},
           {"jacket_cooling: true", "jacket_cooling: \"true\""},
           {"door_contacts: 2", "door_contacts: 3"},
           {"door_contacts: 2", "door_contacts: two"},
           {"name: Bronze", "title: Bronze"},
           {"minimum_volumes: 5", "minimum_volumes: 1000"},
           {"      soak: 45 min\n", ""},
           {"heater:\n", "heaters:\n"},
       }) {
    CAPTURE(what);
    CAPTURE(by);
    const std::string bad = replaced(good, what, by);
    CHECK_FALSE(fits_schema(bad));
    CHECK_FALSE(loads(bad));
  }
  CHECK(fits_schema(good));
  CHECK(loads(good));
}

TEST_CASE("ranges and sources of the plant's parameters stand in the table of keys alone") {
  const std::string text = test::contents(test::source_dir + "/sim/plant/parameters.hpp");
  REQUIRE(text.find("conductance_L_per_min_Pa = 0.2;") != std::string::npos);
  for (const char* const second :
       {"Range ", "Ranges ", "Default:", "stimate", "no source", "memory", "nvented"}) {
    CAPTURE(second);
    CHECK(text.find(second) == std::string::npos);
  }
  for (std::size_t at = text.find(".."); at != std::string::npos; at = text.find("..", at + 2)) {
    // "4..20 mA" is a signal; a range of a parameter is stated in a comment behind its meaning.
    CAPTURE(text.substr(at - 10, 30));
    CHECK(text.compare(at - 1, 7, "4..20 m") == 0);
  }
  for (const Key& key : all_keys()) {
    if (!key.fills_plant || key.source.find('(') == std::string_view::npos) continue;
    CAPTURE(key.path);
    CHECK(text.find(key.source) == std::string::npos);
  }
}
