#include "sim/sizing/sweep.hpp"

#include <string>

#include "demo.hpp"
#include "sim/machine/text_file.hpp"

using namespace ovenproof;
using namespace ovenproof::sizing;
using namespace ovenproof::sizing::testing;

namespace {

std::vector<SweepAxis> axes(const std::vector<std::string>& arguments) {
  auto read = read_sweeps(arguments);
  REQUIRE(std::holds_alternative<std::vector<SweepAxis>>(read));
  return std::get<std::vector<SweepAxis>>(std::move(read));
}

std::vector<std::string> complaints(const std::vector<std::string>& arguments) {
  auto read = read_sweeps(arguments);
  REQUIRE(std::holds_alternative<std::vector<std::string>>(read));
  return std::get<std::vector<std::string>>(std::move(read));
}

machine::Tree tree(const std::string& name) {
  const auto text = machine::read_text_file(demo_path(name));
  return machine::read_yaml(std::get<std::string>(text), name);
}

std::vector<std::string> texts(const SweepAxis& axis) {
  std::vector<std::string> all;
  for (std::size_t i = 0; i < axis.values.size(); ++i) all.push_back(axis.text(i));
  return all;
}

}  // namespace

TEST_CASE("a range is read with its units, its number of values, and both ends exact") {
  using Texts = std::vector<std::string>;
  CHECK(texts(axes({"purge.purge_flow=60 L/min..120 L/min/3"})[0]) ==
        Texts{"60 L/min", "90 L/min", "120 L/min"});
  // The unit after B counts for A; N is 5 unless stated.
  CHECK(texts(axes({"purge.chamber_volume=100..200 L"})[0]) ==
        Texts{"100 L", "125 L", "150 L", "175 L", "200 L"});
  CHECK(texts(axes({"mixing.bypass_fan=0..10 %/2"})[0]) == Texts{"0 %", "10 %"});
  CHECK(texts(axes({" purge.minimum_volumes = 5 .. 7 / 3 "})[0]) == Texts{"5", "6", "7"});
  CHECK(texts(axes({"purge.max_repurges=0..2/3"})[0]) == Texts{"0", "1", "2"});
  // Downwards, and of one item of a list.
  CHECK(texts(axes({"programme.segments[2].target=250 degC..240 degC/2"})[0]) ==
        Texts{"250 degC", "240 degC"});
}

TEST_CASE("all that is wrong with ranges is told at once, with what was meant") {
  const auto all = complaints({"purge.purge_flwo=1 L/min..2 L/min", "purge.gate=10 kg..100 ppm/3"});
  REQUIRE(all.size() == 2);
  CHECK(all[0].find("did you mean purge.purge_flow?") != std::string::npos);
  CHECK(all[1].find("expected a mole fraction from 1 ppm to 10000 ppm, found \"10 kg\"") !=
        std::string::npos);
}

TEST_CASE("bad ranges are refused, each with its reason") {
  const auto refused = [](const std::string& argument, const std::string& why) {
    CAPTURE(argument);
    const auto all = complaints({argument});
    REQUIRE_FALSE(all.empty());
    CAPTURE(all[0]);
    CHECK(all[0].find(why) != std::string::npos);
  };
  refused("", "expected KEY=A..B");
  refused("purge.gate", "expected KEY=A..B");
  refused("purge.gate=100 ppm", "expected KEY=A..B");
  refused("purge_flow=1 L/min..2 L/min", "did you mean purge.purge_flow?");
  refused("options.gas=argon..nitrogen", "holds no number");
  refused("exhaust.ducted=false..true", "holds no number");
  refused("name=a..b", "holds no number");
  refused("purge.gate=1..2", "expected a mole fraction");
  refused("purge.gate=..100 ppm", "expected a mole fraction");
  refused("purge.gate=1 ppm..1e9 ppm", "expected a mole fraction");
  refused("purge.gate=nan ppm..100 ppm", "expected a mole fraction");
  refused("purge.gate=50 ppm..100 ppm/1", "expected 2 to 400 values");
  refused("purge.gate=50 ppm..100 ppm/99999999999999999999", "expected 2 to 400 values");
  refused("purge.gate=50 ppm..50 ppm/2", "no 2 different values");
  refused("purge.max_repurges=0..2/5", "no 5 different values");
  refused("purge.max_repurges=0.5..2/2", "expected a whole number");
  refused("programme.segments.target=1 degC..2 degC", "there is no such key");
  refused("programme.segments[0].target=100 degC..200 degC", "there is no such key");
  refused("programme.segments[99].target=100 degC..200 degC", "there is no such key");
  refused("programme.segments[].target=100 degC..200 degC", "there is no such key");
  refused("programme.segments[1.target=100 degC..200 degC", "there is no such key");
  refused("purge.gate[1]=100 ppm..200 ppm", "there is no such key");
  CHECK(complaints({"purge.gate=50 ppm..90 ppm", "purge.gate=50 ppm..90 ppm"})[0].find(
            "given twice") != std::string::npos);
  CHECK(complaints({"purge.gate=50 ppm..90 ppm/30", "load.mass=1 kg..9 kg/30"})[0].find(
            "at most 400 points, found 900") != std::string::npos);
  CHECK(
      complaints({"purge.gate=50 ppm..90 ppm", "load.mass=1 kg..9 kg", "room.volume=5 m3..9 m3"})[0]
          .find("at most 2 settings") != std::string::npos);
}

TEST_CASE("each point is the machine with those values, the last setting running quickest") {
  const auto two =
      axes({"purge.purge_flow=80 L/min..120 L/min/2", "tightness.air_ingress=1..3 mL/min/3"});
  const auto made = sweep_points(tree("bronze_strip_160"), "m.yaml", two);
  REQUIRE(std::holds_alternative<std::vector<SweepPoint>>(made));
  const auto& points = std::get<std::vector<SweepPoint>>(made);
  REQUIRE(points.size() == 6);
  CHECK(points[4].at == std::vector<std::size_t>{1, 1});
  CHECK(points[4].machine.plant.supply.purge_L_per_min == doctest::Approx(120.0));
  CHECK(points[4].machine.settings.purge.purge_flow.value == doctest::Approx(120.0));
  // Not in the file at all: the group is made.
  CHECK(points[4].machine.plant.tightness.air_ingress_L_per_min == doctest::Approx(0.002));
  CHECK(points[4].machine.name == "Bronze strip oven, 160 L");
}

TEST_CASE(
    "points that no machine file could have are refused, all at once, and the sweep is named") {
  // A process flow must stay below the purge flow and hold the gate.
  const auto one = axes({"purge.process_flow=1 L/min..150 L/min/3"});
  const auto made = sweep_points(tree("bronze_strip_160"), "m.yaml", one);
  REQUIRE(std::holds_alternative<std::vector<machine::Error>>(made));
  const auto& errors = std::get<std::vector<machine::Error>>(made);
  bool first = false;
  bool last = false;
  for (const machine::Error& each : errors) {
    CHECK(each.hint.find("in the sweep, with purge.process_flow = ") != std::string::npos);
    first = first || each.hint.find("= 1 L/min") != std::string::npos;
    last = last || each.hint.find("= 150 L/min") != std::string::npos;
    CHECK(each.hint.find("= 75.5 L/min") == std::string::npos);  // that one is good
  }
  CHECK(first);
  CHECK(last);
}

TEST_CASE("a segment that the programme does not have cannot be swept") {
  const auto one = axes({"programme.segments[4].target=100 degC..200 degC/2"});
  const auto made = sweep_points(tree("bronze_strip_160"), "m.yaml", one);
  REQUIRE(std::holds_alternative<std::vector<machine::Error>>(made));
  const auto& errors = std::get<std::vector<machine::Error>>(made);
  REQUIRE(errors.size() == 1);
  CHECK(errors[0].key == "programme.segments[4].target");
}

TEST_CASE("the figures of a sweep are those of each machine by itself") {
  const auto one = axes({"purge.purge_flow=80 L/min..120 L/min/3"});
  const auto made = sweep_points(tree("bronze_strip_160"), "m.yaml", one);
  const auto& points = std::get<std::vector<SweepPoint>>(made);
  Options options = formulas_alone();
  options.jobs = 3;
  const std::vector<Sizing> all = size_all(points, options);
  REQUIRE(all.size() == 3);
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Sizing alone = size(points[i].machine, formulas_alone());
    for (const Figure& each : alone.figures) {
      CAPTURE(std::string(each.id));
      CHECK(figure(all[i], each.id).predicted == each.predicted);
    }
  }
  CHECK(*figure(all[0], "gate_time").predicted > *figure(all[2], "gate_time").predicted);
}
