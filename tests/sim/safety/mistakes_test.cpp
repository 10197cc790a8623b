#include <doctest/doctest.h>

#include "sim/campaign/safety_figures.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

namespace {

std::string told(const std::vector<std::string>& modes,
                 const std::vector<std::string>& hazards = {},
                 const std::vector<std::string>& causes = {}) {
  machine::Machine machine;
  machine.path = "oven.yaml";
  safety::Component part;
  part.name = "contactor";
  part.modes = modes;
  part.line = 7;
  part.column = 3;
  machine.safety.components.push_back(part);
  safety::Function function;
  function.hazards = hazards;
  function.causes = causes;
  function.line = 9;
  function.column = 3;
  machine.safety.functions.push_back(function);
  Plan plan;
  for (const char* const id : {"Q1.welded", "Q1.not_pulling"}) {
    plan.modes.emplace_back().id = id;
  }
  std::string text;
  for (const machine::Error& error : safety_mistakes(machine, plan)) text += to_text(error) + '\n';
  return text;
}

}  // namespace

TEST_CASE("good names and shares are no mistakes") {
  CHECK(told({}).empty());
  CHECK(told({"Q1.welded", "Q1.not_pulling"}).empty());
  CHECK(told({"Q1.welded 80 %", "Q1.not_pulling 20 %"}, {"heat_in_air"}, {"k1_welded"}).empty());
}

TEST_CASE("names that the campaign does not know are told with their place and the nearest") {
  CHECK(told({"Q1.weldet"}) ==
        "oven.yaml:7:3: safety.components[1].modes: expected failure modes of this machine "
        "(ovenproof "
        "campaign --list), found \"Q1.weldet\" (did you mean Q1.welded?)\n");
  const std::string text = told({}, {"heat_in_are"}, {"k1_weldet", "nonsense_entirely"});
  CHECK(text.find("oven.yaml:9:3: safety.functions[1].hazards: expected hazards") == 0);
  CHECK(text.find("did you mean heat_in_air?") != std::string::npos);
  CHECK(text.find("did you mean k1_welded?") != std::string::npos);
  CHECK(text.find("found \"nonsense_entirely\"\n") != std::string::npos);
}

TEST_CASE("shares stand behind all modes or none, and add up") {
  CHECK(told({"Q1.welded 80 %", "Q1.not_pulling"}).find("or behind none, found \"1 of 2\"") !=
        std::string::npos);
  CHECK(told({"Q1.welded 80 %", "Q1.not_pulling 10 %"}).find("add up to 100 %, found \"90 %\"") !=
        std::string::npos);
  CHECK(told({"Q1.welded 80 %", "Q1.not_pulling 30 %"}).find("add up to 100 %") !=
        std::string::npos);
  CHECK(told({"Q1.welded eighty"}).find("or one with its share") != std::string::npos);
}
