#include "sim/evidence/comparison.hpp"

#include <functional>
#include <stdexcept>

#include <doctest/doctest.h>

#include "findings.hpp"

namespace ovenproof::evidence {
namespace {

using Json = nlohmann::ordered_json;
using Turn = Alteration::Turn;

const std::string& sound() {
  static const std::string text = [] {
    Findings findings = sound_findings();
    findings.sizing = sizing::size(findings.machine, sizing::formulas_alone());
    return document(findings, some_making()).text;
  }();
  return text;
}

/// What changes when the sound document is changed.
std::vector<Alteration> after(const std::function<void(Json&)>& change) {
  Json json = Json::parse(sound());
  change(json);
  return changes(content_of(sound(), ""), content_of(json.dump(), ""));
}

/// The only thing that does.
Alteration only(const std::function<void(Json&)>& change) {
  const std::vector<Alteration> all = after(change);
  REQUIRE(all.size() == 1);
  return all.front();
}

TEST_CASE("a document is the same as itself, whatever order the second is written in") {
  CHECK(after([](Json&) {}).empty());
  CHECK(after([](Json& d) {
          Json& settings = d["machine"]["settings"];
          std::reverse(settings.begin(), settings.end());
        }).empty());
}

TEST_CASE("each kind of change is told in its group, with what was said before and after") {
  const Alteration setting = only([](Json& d) {
    for (Json& each : d["machine"]["settings"]) {
      if (each["key"] == "purge.gate") each["value"] = "90 ppm";
    }
  });
  CHECK(setting.group == "settings");
  CHECK(setting.key == "purge.gate");
  CHECK(setting.before == "100 ppm");
  CHECK(setting.after == "90 ppm");
  CHECK(setting.turn == Turn::neither);

  const Alteration gone = only([](Json& d) { d["machine"]["io"].erase(0); });
  CHECK(gone.group == "I/O list");
  CHECK(gone.before);
  CHECK_FALSE(gone.after);

  const Alteration margin = only([](Json& d) { d["cycle"]["hazards"][0]["margin"] = "9 s"; });
  CHECK(margin.group == "margins");
  CHECK(margin.before == "10 s");
  CHECK(margin.after == "9 s");

  const Alteration row = only([](Json& d) { d["matrix"]["rows"][0]["withholds"].erase(0); });
  CHECK(row.group == "matrix");
  CHECK(row.key == "power_up");

  const Alteration transition =
      only([](Json& d) { d["state_chart"]["regions"][0]["transitions"][0]["action"] = "dance"; });
  CHECK(transition.group == "state chart");
  CHECK(transition.after == "dance");

  const Alteration states = only([](Json& d) { d["proof"]["states"] = 6; });
  CHECK(states.group == "reachable");
  CHECK(states.before == "5");
  CHECK(states.after == "6");

  const Alteration seen = only(
      [](Json& d) { d["state_chart"]["regions"][0]["transitions"][0]["seen_from"] = {"cooling"}; });
  CHECK(seen.group == "reachable");
  CHECK(seen.after == "taken from cooling");

  const Alteration figure = only([](Json& d) { d["sizing"]["figures"][0]["predicted"] = nullptr; });
  CHECK(figure.group == "figures");
  CHECK(figure.after == "never");

  const Alteration build = only([](Json& d) { d["made"]["firmware_sources"] = "another"; });
  CHECK(build.group == "build");
}

TEST_CASE("a verdict turns worse or better, and what is no verdict neither") {
  const auto came_about = [](Json& d) { d["cycle"]["hazards"][0]["avoided"] = false; };
  const std::vector<Alteration> hazard = after(came_about);
  REQUIRE(hazard.size() == 2);  // a hazard that occurred has no margin
  CHECK(hazard[0].group == "verdicts");
  CHECK(hazard[0].turn == Turn::worse);
  CHECK(hazard[1].group == "margins");
  CHECK_FALSE(hazard[1].after);

  Json bad = Json::parse(sound());
  came_about(bad);
  const auto back = changes(content_of(bad.dump(), ""), content_of(sound(), ""));
  REQUIRE(back.size() == 2);
  CHECK(back[0].turn == Turn::better);

  CHECK(only([](Json& d) { d["proof"]["claims"][0]["standing"] = "refuted"; }).turn == Turn::worse);
  CHECK(only([](Json& d) { d["proof"]["claims"][0]["standing"] = "vacuous"; }).turn == Turn::worse);
  // One more that fails is worse, one more that holds is neither.
  const auto added = [](const char* standing) {
    return only([standing](Json& d) {
             Json claim = d["proof"]["claims"][0];
             claim["id"] = "REQ-NEW-01";
             claim["standing"] = standing;
             d["proof"]["claims"].push_back(claim);
           })
        .turn;
  };
  CHECK(added("refuted") == Turn::worse);
  CHECK(added("proved") == Turn::neither);
}

TEST_CASE("what was not done for one of them is told once, and nothing that follows from it") {
  const std::vector<Alteration> all = after([](Json& d) {
    d["proof"] = nullptr;
    d["cycle"] = nullptr;
  });
  REQUIRE(all.size() == 2);
  for (const Alteration& each : all) {
    CHECK(each.group == "work");
    CHECK(each.before == "done");
    CHECK(each.after == "not done");
  }
}

TEST_CASE("two things of one name are told apart") {
  CHECK(after([](Json& d) {
          Json& io = d["machine"]["io"];
          io.push_back(io[0]);
        }).size() == 1);
}

TEST_CASE("margins of cases come from the file beside the document") {
  const auto with = [](double margin) {
    const Json cases{
        {"cases",
         {{{"name", "a case"},
           {"expectations",
            {{{"name", "heat off"},
              {"margins",
               {{{"unit", "ms"}, {"value", margin}}, {{"unit", "K"}, {"value", nullptr}}}}}}},
           {"hazards", Json::array()}}}}};
    return content_of(sound(), cases.dump());
  };
  CHECK(changes(with(10.0), with(10.0)).empty());
  const auto all = changes(with(10.0), with(8.5));
  REQUIRE(all.size() == 1);
  CHECK(all[0].group == "margins");
  CHECK(all[0].key == "a case: heat off");
  CHECK(all[0].after == "8.5 ms");
}

TEST_CASE("what is no document is refused, whatever is missing or of another type") {
  for (const char* const text : {"", "[", "[]", "{}", "5", R"({"format": "ovenproof-evidence"})"}) {
    CAPTURE(text);
    CHECK_THROWS_AS((void)content_of(text, ""), std::runtime_error);
  }
  const Json whole = Json::parse(sound());
  for (const auto& [name, section] : whole.items()) {
    if (name == "summary" || name == "hazards" || name == "requirements" ||
        name == "commissioning" || name == "alarms" || name == "files") {
      continue;  // they say nothing that the others do not
    }
    CAPTURE(name);
    Json lacking = whole;
    lacking.erase(name);
    CHECK_THROWS_AS((void)content_of(lacking.dump(), ""), std::runtime_error);
    Json odd = whole;
    odd[name] = {{"surprise", 1}};
    CHECK_THROWS_AS((void)content_of(odd.dump(), ""), std::runtime_error);
  }
  CHECK_THROWS_AS((void)content_of(sound(), "[]"), std::runtime_error);
}

}  // namespace
}  // namespace ovenproof::evidence
