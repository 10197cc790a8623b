#include "sim/app/check_report.hpp"

#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "sim/machine/keys.hpp"
#include "terminal_text.hpp"

using namespace ovenproof;
using namespace ovenproof::app;
using nlohmann::json;

namespace {

const std::string machines = std::string(SOURCE_DIR) + "/scenarios/machines/";
const std::vector<std::string> demos{"bronze_strip_160.yaml", "titanium_bracket_90.yaml",
                                     "coil_anneal_300.yaml"};

machine::Machine demo(const std::string& name) {
  return std::get<machine::Machine>(machine::load_file(machines + name));
}

}  // namespace

TEST_CASE("the report fits 80 columns for each demo machine") {
  for (const std::string& name : demos) {
    CAPTURE(name);
    CHECK(ovenproof::test::unfit_line(check_report(demo(name), Style())) == "");
  }
}

TEST_CASE("the report fits 80 columns with the longest name, text, tags, path and extreme values") {
  for (const std::string& name : demos) {
    machine::Machine m = demo(name);
    m.name = std::string(120, 'W');
    m.description = std::string(2000, 'x');
    m.load = std::string(200, 'y');
    m.path = "/" + std::string(300, 'p') + ".yaml";
    for (std::string& tag : m.tags) tag = "XYZ-123456789012";
    CHECK(ovenproof::test::unfit_line(check_report(m, Style())) == "");
    m.name.clear();
    for (int i = 0; i < 120; ++i) m.name += "\xE7\x82\x89";  // takes two columns each
    for (const bool largest : {true, false}) {
      for (const machine::Key& key : machine::all_keys()) {
        const machine::List* list = machine::list_of(key.path);
        if (list != nullptr && list->size(m) == 0) continue;
        if (key.put && !key.path.starts_with("options."))
          key.put(m, 0, largest ? key.maximum : key.minimum);
      }
      CHECK(ovenproof::test::unfit_line(check_report(m, Style())) == "");
    }
  }
}

TEST_CASE("the report says what the machine is, its tags, what is stated and what follows") {
  const std::string text = check_report(demo("titanium_bracket_90.yaml"), Style());
  for (const char* const part :
       {"Titanium bracket oven, 90 L", "Invented for demonstration", "argon, 60 L/min to purge",
        "4-20 mA transmitter; gate 60 ppm, hold limit 200 ppm", "by button", "1 of type N",
        "no jacket cooling", "hard-wired limiter 700 degC", "650 degC at 8 K/min, soak 90 min",
        "AT-101", "TE-101", "purge.gate_hold", "(default 30 s)", "time to it at purge flow",
        "lowest oxygen at process flow"}) {
    CAPTURE(part);
    CHECK(text.find(part) != std::string::npos);
  }
  CHECK(text.find("damper") == std::string::npos);
  CHECK(text.find("ZS-2") == std::string::npos);
  // A key at its default is not listed.
  CHECK(text.find("purge.hold_delay") == std::string::npos);
}

TEST_CASE("the report lists what is accepted, each reason once, and who signed for this machine") {
  machine::Machine m = demo("bronze_strip_160.yaml");
  std::string text = check_report(m, Style());
  CAPTURE(text);
  const std::string accepted = std::to_string(m.campaign.accepted.size());
  for (const std::string& part :
       {accepted + " failure modes accepted although hazardous",
        std::string("XV-1.stuck_open, XV-1.leaks, XV-2.stuck_open"),
        std::string("1 failure mode not tried"), std::string("TE-2.short"),
        std::string("by A. Example (invented), 2026-03-31")}) {
    CAPTURE(part);
    CHECK(text.find(part) != std::string::npos);
  }
  const std::size_t reason = text.find("there is no second supply");
  CHECK(reason != std::string::npos);
  CHECK(text.find("there is no second supply", reason + 1) == std::string::npos);
  m.name = "A copy";
  text = check_report(m, Style());
  CHECK(text.find("A. Example") == std::string::npos);
  CHECK(text.find("none that counts") != std::string::npos);
}

TEST_CASE("errors for people fit 80 columns where words allow, and are counted") {
  const auto bad =
      machine::load_text("name: [a]\noptions: {gas: helium, nonsense: 1}\n", "oven.yaml");
  const auto& errors = std::get<std::vector<machine::Error>>(bad);
  const std::string text = error_report(errors, Style());
  CHECK(ovenproof::test::unfit_line(text) == "");
  CHECK(text.find("oven.yaml:1:7: name: expected text of 1 to 120 characters, found a list") !=
        std::string::npos);
  CHECK(text.ends_with(std::to_string(errors.size()) + " errors\n"));
  CHECK(error_report({errors[0]}, Style()).ends_with("1 error\n"));
}

TEST_CASE("the JSON holds good and bad files side by side, each value once") {
  std::vector<Checked> all;
  for (const std::string& name : demos) all.push_back({name, machine::load_file(machines + name)});
  all.push_back({"bad.yaml", machine::load_text("name: [a]\n", "bad.yaml")});
  const json result = json::parse(check_json(all));
  REQUIRE(result["machines"].size() == 4);
  for (std::size_t i = 0; i < 3; ++i) {
    const json& one = result["machines"][i];
    CHECK(one["valid"] == true);
    CHECK(one["file"] == demos[i]);
    CHECK(one["derived"]["purge_time"]["value"].get<double>() > 0.0);
    CHECK(one["io"].size() > 20);
    CHECK_FALSE(one.contains("errors"));
  }
  CHECK(result["machines"][0]["values"]["options.gas"] == "nitrogen");
  CHECK(result["machines"][0]["sign_off"]["counts"] == true);
  CHECK(result["machines"][0]["sign_off"]["by"] == "A. Example (invented)");
  CHECK(result["machines"][0]["values"]["options.door_contacts"] == 2);
  CHECK(result["machines"][0]["values"]["options.jacket_cooling"] == true);
  CHECK(result["machines"][2]["values"]["programme.segments"].size() == 3);
  CHECK(result["machines"][2]["values"]["programme.segments"][1]["target"] == "250 degC");
  const json& bad = result["machines"][3];
  CHECK(bad["valid"] == false);
  bool found = false;
  for (const json& error : bad["errors"]) {
    found =
        found || (error["key"] == "name" && error["at"]["line"] == 1 && error["at"]["column"] == 7);
  }
  CHECK(found);
  CHECK(result["caution"].get<std::string>().find("never replaces") != std::string::npos);
}
