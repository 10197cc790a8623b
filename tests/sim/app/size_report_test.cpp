#include "sim/app/size_report.hpp"

#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "sim/machine/keys.hpp"
#include "sim/machine/load.hpp"
#include "terminal_text.hpp"

using namespace ovenproof;
using namespace ovenproof::app;
using sizing::Curve;
using sizing::Figure;
using sizing::Sizing;

namespace {

machine::Machine demo(const std::string& name) {
  return std::get<machine::Machine>(
      machine::load_file(std::string(SOURCE_DIR) + "/scenarios/machines/" + name + ".yaml"));
}

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

constexpr formulas::Formula formula{"a formula", "x = y", "a book, section 1", "the weather"};

/// One figure, by formula and simulated.
Sizing one_figure(std::optional<double> predicted, std::optional<double> simulated) {
  Figure f;
  f.id = "gate_time";
  f.group = "purge";
  f.what = "time to the gate";
  f.unit = "min";
  f.formula = &formula;
  f.assumptions = {{"it is stirred", false, "9 s against 1 s"}};
  f.predicted = predicted;
  f.simulated = simulated;
  if (!predicted) f.no_prediction = "the floor is above it";
  if (!simulated) f.no_simulation = "it never occurred";
  f.measured_on = "a run by hand";
  f.bound = {0.05, 0.1};
  Sizing sizing;
  sizing.figures = {f};
  sizing.floors = {{10.0}, {0.001, 0.01}, {{24.0, 213.0}}, 100.0};
  return sizing;
}

Curve curve(bool log_axis) {
  return {"oxygen",
          "oxygen in the chamber",
          "ppm",
          log_axis,
          {{0.0, 209'500.0}, {600.0, 100.0}, {3600.0, 20.0}},
          {{0.0, 209'500.0}, {700.0, 100.0}, {3500.0, 25.0}}};
}

}  // namespace

TEST_CASE("the report fits 80 columns for each demo machine, explained or not, and says it all") {
  for (const char* const name : {"bronze_strip_160", "coil_anneal_300", "titanium_bracket_90"}) {
    CAPTURE(name);
    const machine::Machine m = demo(name);
    const Sizing sizing = size(m, sizing::formulas_alone());
    for (const bool explain : {false, true}) {
      const std::string text = size_report(m, sizing, explain, Style());
      CHECK(ovenproof::test::unfit_line(text) == "");
      CHECK(has(text, "figures by formula, nothing simulated"));
      CHECK(has(text, "never replaces it"));
      CHECK(has(text, "source: Crowl and Louvar") == explain);
    }
  }
}

TEST_CASE(
    "the report fits 80 columns with the longest names and values at the ends of their ranges") {
  for (const bool largest : {true, false}) {
    machine::Machine m = demo("bronze_strip_160");
    m.name.clear();
    for (int i = 0; i < 120; ++i) m.name += "\xE7\x82\x89";  // takes two columns each
    for (const machine::Key& key : machine::all_keys()) {
      if (key.put && !key.path.starts_with("options.")) {
        key.put(m, 0, largest ? key.maximum : key.minimum);
      }
    }
    sizing::Options options = sizing::formulas_alone();
    options.cylinder = {10'000.0, 1000.0, 1000};
    CHECK(ovenproof::test::unfit_line(size_report(m, size(m, options), true, Style())) == "");
  }
}

TEST_CASE(
    "the second line says how the simulated cycle ended, the third how the formulas compare") {
  const machine::Machine m = demo("bronze_strip_160");
  const auto report = [&m](const Sizing& sizing) { return size_report(m, sizing, false, Style()); };
  const std::string within = report(one_figure(10.0, 10.4));
  CHECK(has(within, "  PASSED: the simulated cycle ended well\n"));
  CHECK(has(within, "agree within the bounds on 1 of 1 figures."));
  CHECK_FALSE(has(within, "remark"));

  Sizing differs = one_figure(10.0, 20.0);
  differs.figures[0].remark = "they differ";
  const std::string remarked = report(differs);
  CHECK(has(remarked, "  PASSED: the simulated cycle ended well\n"));
  CHECK_FALSE(has(remarked, "FAILED"));
  CHECK(has(remarked, "agree within the bounds on 0 of 1 figures; on each"));
  CHECK(has(remarked, "remark: they differ (bound 5 % + 0.1 min)"));
  CHECK(has(remarked, "+50.0 %"));

  Sizing tripped = one_figure(10.0, 10.0);
  tripped.cycle_problem = "the oven tripped: gas supply lost";
  CHECK(has(report(tripped), "  FAILED: the simulated cycle: the oven tripped: gas supply lost"));
}

TEST_CASE("what never occurs says why, by formula and simulated") {
  const std::string text =
      size_report(demo("bronze_strip_160"), one_figure({}, {}), false, Style());
  CHECK(has(text, "never       never"));
  CHECK(has(text, "predicted: the floor is above it"));
  CHECK(has(text, "simulated: it never occurred"));
}

TEST_CASE("flows and leaks that cannot hold the level are marked") {
  const std::string text =
      size_report(demo("bronze_strip_160"), one_figure(10.0, 10.0), false, Style());
  CHECK(has(text, "213 !"));
  CHECK_FALSE(has(text, "24.0 !"));
}

TEST_CASE("a chart fits 80 columns, has decades on a logarithmic axis, and both series") {
  const std::string text = chart(curve(true));
  CHECK(ovenproof::test::unfit_line(text) == "");
  for (const char* const label : {"100 % |", "10 % |", "1 % |", "1000 ppm |", "100 ppm |",
                                  "10 ppm |", ". predicted   o simulated   # both"}) {
    CAPTURE(label);
    CHECK(has(text, label));
  }
  const std::string drawing = text.substr(text.find('\n'));
  CHECK(has(drawing, "o"));
  CHECK(has(drawing, "."));
  CHECK(has(drawing, "#"));
  CHECK(ovenproof::test::unfit_line(chart(curve(false))) == "");
  CHECK(has(chart(curve(false)), "200000 ppm |"));
}

TEST_CASE("a chart of nothing, of one point and of one value is no fault") {
  Curve empty{"oxygen", "oxygen", "ppm", true, {}, {}};
  CHECK(has(chart(empty), "nothing to draw"));
  empty.predicted = {{0.0, 5.0}};
  CHECK(ovenproof::test::unfit_line(chart(empty)) == "");
  empty.predicted = {{0.0, 0.0}, {10.0, 0.0}};
  CHECK(ovenproof::test::unfit_line(chart(empty)) == "");
  empty.log_axis = false;
  CHECK(ovenproof::test::unfit_line(chart(empty)) == "");
  empty.predicted = {{0.0, -40.0}, {1e9, 1e9}};
  CHECK(ovenproof::test::unfit_line(chart(empty)) == "");
}

TEST_CASE("figures are told in three digits with their unit") {
  CHECK(figure_text(7.8804, "") == "7.88");
  CHECK(figure_text(11.748, "min") == "11.7 min");
  CHECK(figure_text(254.49, "degC") == "254 degC");
  CHECK(figure_text(20.7626, "%") == "20.76 %");
  CHECK(figure_text(0.0, "kW") == "0.000 kW");
  CHECK(figure_text(1.2e-5, "L/min") == "1.20e-05 L/min");
  CHECK(figure_text(-3.456e9, "") == "-3.46e+09");
}

TEST_CASE("the JSON holds each figure with formula, assumptions, bound and verdict") {
  const machine::Machine m = demo("coil_anneal_300");
  const auto options = sizing::formulas_alone();
  const Sizing sizing = size(m, options);
  const auto json = nlohmann::json::parse(size_json(m, options, sizing));
  CHECK(json["machine"] == "Coil annealing oven, 300 L");
  CHECK(json["options"]["simulated"] == false);
  REQUIRE(json["figures"].size() == sizing.figures.size());
  for (const auto& each : json["figures"]) {
    CAPTURE(each.dump());
    CHECK_FALSE(each["formula"]["source"].get<std::string>().empty());
    CHECK(each["assumptions"].size() > 0);
    CHECK(each["simulated"].is_null());
    CHECK(each["verdict"] == "not compared");
    CHECK(each["predicted"].is_null() == each["no_prediction"].is_string());
  }
  CHECK(json["curves"][0]["log_axis"] == true);
  CHECK(json["curves"][0]["predicted"].size() <= Curve::most_points);
  CHECK(json["floors"]["ppm"].size() == json["floors"]["flows_L_per_min"].size());
  CHECK(json["caution"].get<std::string>().find("never replaces") != std::string::npos);
}
