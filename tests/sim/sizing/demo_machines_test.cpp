/// What the formulas predict for the demo machines against what the simulated ovens do. Each
/// machine is simulated once for all of these cases.
#include <algorithm>
#include <map>
#include <vector>

#include "demo.hpp"

using namespace ovenproof;
using namespace ovenproof::sizing;
using namespace ovenproof::sizing::testing;

namespace {

const Sizing& sized(const std::string& name) {
  static std::map<std::string, Sizing> known;
  if (!known.contains(name)) known[name] = size(demo(name), {});
  return known[name];
}

}  // namespace

TEST_CASE("the demo machines are sized as they behave") {
  SUBCASE("sizing and simulation agree within stated bounds on each demo machine") {
    for (const char* const name : demo_names) {
      CAPTURE(name);
      const Sizing& sizing = sized(name);
      CHECK(sizing.cycle_problem.empty());
      CHECK(sizing.holds());
      std::size_t compared = 0;
      for (const Figure& each : sizing.figures) {
        CAPTURE(std::string(each.id));
        CHECK(each.verdict() != Verdict::differs);
        CHECK(each.remark.empty());
        compared += each.verdict() == Verdict::not_compared ? 0 : 1;
      }
      CHECK(compared >= 26);
    }
  }

  SUBCASE("each figure names its formula, source and assumptions, and why a value is missing") {
    const std::vector<std::string_view> ids = all_figure_ids();
    for (const char* const name : demo_names) {
      CAPTURE(name);
      auto at = ids.begin();
      for (const Figure& each : sized(name).figures) {
        CAPTURE(std::string(each.id));
        at = std::find(at, ids.end(), each.id);
        REQUIRE(at != ids.end());  // known, and in the stated order
        REQUIRE(each.formula != nullptr);
        CHECK_FALSE(each.what.empty());
        CHECK_FALSE(each.formula->name.empty());
        CHECK_FALSE(each.formula->equation.empty());
        CHECK_FALSE(each.formula->source.empty());
        CHECK_FALSE(each.formula->leaves_out.empty());
        CHECK_FALSE(each.assumptions.empty());
        CHECK(each.predicted.has_value() == each.no_prediction.empty());
        CHECK(each.simulated.has_value() == each.no_simulation.empty());
        if (each.simulated) CHECK_FALSE(each.measured_on.empty());
        CHECK(each.bound.relative + each.bound.absolute > 0.0);
      }
    }
  }

  SUBCASE("an oven that its formulas say never gets there does not get there") {
    for (const char* const name : demo_names) {
      CAPTURE(name);
      for (const Figure& each : sized(name).figures) {
        CAPTURE(std::string(each.id));
        if (each.id == "room_displaced") continue;  // on paper alone
        CHECK(each.predicted.has_value() == each.simulated.has_value());
      }
    }
    CHECK_FALSE(figure(sized("bronze_strip_160"), "cool_still").predicted);
    CHECK_FALSE(figure(sized("bronze_strip_160"), "cool_still").simulated);
    CHECK(figure(sized("titanium_bracket_90"), "cool_still").simulated);
  }

  SUBCASE("figures of parts that an oven does not have are absent") {
    CHECK(find_figure(sized("bronze_strip_160").figures, "cool_jacket") != nullptr);
    CHECK(find_figure(sized("titanium_bracket_90").figures, "cool_jacket") == nullptr);
    CHECK(find_figure(sized("titanium_bracket_90").figures, "jacket_air_peak") == nullptr);
    CHECK(find_figure(sized("bronze_strip_160").figures, "room_cycle") != nullptr);
    CHECK(find_figure(sized("coil_anneal_300").figures, "room_cycle") == nullptr);  // ducted
  }

  SUBCASE("both curves run over the cycle, few points each, and lie near each other") {
    for (const char* const name : demo_names) {
      CAPTURE(name);
      const Sizing& sizing = sized(name);
      REQUIRE(sizing.curves.size() == 2);
      for (const Curve& curve : sizing.curves) {
        for (const std::vector<Point>* const points : {&curve.predicted, &curve.simulated}) {
          REQUIRE(points->size() > 20);
          CHECK(points->size() <= Curve::most_points);
          CHECK(points->front().s == 0.0);
          CHECK(std::is_sorted(points->begin(), points->end(),
                               [](const Point& a, const Point& b) { return a.s < b.s; }));
        }
        const double predicted_s = curve.predicted.back().s;
        CHECK(curve.simulated.back().s == doctest::Approx(predicted_s).epsilon(0.05));
      }
      CHECK(sizing.curves[0].predicted.front().value == doctest::Approx(209'500.0));
      const auto hottest = [](const std::vector<Point>& points) {
        return std::max_element(points.begin(), points.end(),
                                [](const Point& a, const Point& b) { return a.value < b.value; })
            ->value;
      };
      CHECK(hottest(sizing.curves[1].simulated) ==
            doctest::Approx(hottest(sizing.curves[1].predicted)).epsilon(0.02));
    }
  }
}
