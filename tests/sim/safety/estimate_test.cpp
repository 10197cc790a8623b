#include "sim/safety/estimate.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "sim/safety/measures.hpp"
#include "sim/safety/reliability.hpp"

using namespace ovenproof::safety;

namespace {

Component part(std::string name, double years) {
  Component each;
  each.name = std::move(name);
  each.mttfd_years = years;
  return each;
}

Declared declared() {
  Declared all;
  all.components = {part("sensor", 200), part("other sensor", 200), part("relay", 100),
                    part("other relay", 100), part("tester", 90)};
  return all;
}

Function two_channels() {
  Function function;
  function.category = Category::three;
  function.channel_1 = {"sensor", "relay"};
  function.channel_2 = {"other sensor", "other relay"};
  function.common_cause = {"separation", "diversity", "overstress", "contamination_and_emc"};
  return function;
}

Function tested_channel() {
  Function function = two_channels();
  function.category = Category::two;
  function.channel_2.clear();
  function.test_equipment = {"tester"};
  function.tests_per_demand = 100;
  return function;
}

CoverageOf everywhere(double coverage) {
  return [coverage](const Component&) { return std::optional(coverage); };
}

bool any(const std::vector<std::string>& texts, const std::string& part) {
  return std::any_of(texts.begin(), texts.end(),
                     [&](const std::string& each) { return each.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("two channels: series, symmetry, average coverage and the table's row below") {
  const Estimate e = estimate(declared(), two_channels(), everywhere(0.9));
  CHECK(*e.channel_1_years == doctest::Approx(200.0 / 3.0));
  CHECK(*e.channel_2_years == doctest::Approx(200.0 / 3.0));
  CHECK(*e.mttfd_years == doctest::Approx(200.0 / 3.0));
  CHECK(*e.coverage == doctest::Approx(0.9));
  CHECK(*e.common_cause_points == 75);
  CHECK(*e.pfhd_per_h == 8.84e-8);  // category 3, coverage medium, row of 62 years
  CHECK(*e.level == Level::e);
  CHECK(e.needs.empty());
  CHECK(e.shortfalls.empty());
  CHECK(*estimate(declared(), two_channels(), everywhere(0.6)).pfhd_per_h == 2.13e-7);
}

TEST_CASE("a category that is claimed and not attained gives no figure, and says why") {
  const auto refused = [](const Function& function, const CoverageOf& coverage,
                          const std::string& why, const Declared& all = declared()) {
    CAPTURE(why);
    const Estimate e = estimate(all, function, coverage);
    CHECK_FALSE(e.pfhd_per_h);
    CHECK_FALSE(e.level);
    CHECK(any(e.shortfalls, why));
    CHECK(e.needs.empty());
  };
  refused(two_channels(), everywhere(0.59), "a coverage of 59.0 % (none)");
  Function function = two_channels();
  function.common_cause = {"separation", "diversity", "contamination_and_emc"};
  refused(function, everywhere(0.9), "60 points against common cause failures, 65 needed");
  function.common_cause.emplace_back("well_tried");
  CHECK(estimate(declared(), function, everywhere(0.9)).pfhd_per_h);

  function = two_channels();
  function.category = Category::four;
  refused(function, everywhere(0.98), "no category 4");
  CHECK(*estimate(declared(), function, everywhere(0.99)).pfhd_per_h == 4.22e-8);

  function = tested_channel();
  CHECK(*estimate(declared(), function, everywhere(0.6)).pfhd_per_h == 9.06e-7);
  Declared poor = declared();
  poor.components[4].mttfd_years = 33.0;  // half of the channel's 66.7 a is 33.3 a
  refused(function, everywhere(0.6), "MTTFd of the test equipment", poor);
  function.tests_per_demand = 24.0;
  refused(function, everywhere(0.6), "24 tests a demand");

  function = two_channels();
  function.category = Category::one;
  Declared worn = declared();
  worn.components[0].mttfd_years = 35.0;
  refused(function, everywhere(0), "no category 1", worn);
  function.category = Category::b;
  CHECK(*estimate(worn, function, everywhere(0)).pfhd_per_h == 4.76e-6);  // 25.9 a: row of 24 a
}

TEST_CASE("what is missing is told, and only what needs it is not computed") {
  const auto needs = [](const Function& function, const std::string& what,
                        const Declared& all = declared(),
                        const CoverageOf& coverage = everywhere(0.9)) {
    CAPTURE(what);
    const Estimate e = estimate(all, function, coverage);
    CHECK(any(e.needs, what));
    CHECK_FALSE(e.pfhd_per_h);
    CHECK_FALSE(e.level);
  };
  Function function = two_channels();
  function.category.reset();
  needs(function, "category");
  function = two_channels();
  function.channel_1.clear();
  needs(function, "channel_1");
  function = two_channels();
  function.channel_2.clear();
  needs(function, "channel_2");
  function = two_channels();
  function.common_cause.clear();
  needs(function, "common_cause");
  function = two_channels();
  function.channel_1.emplace_back("nobody");
  needs(function, "data of nobody");
  function = tested_channel();
  function.test_equipment.clear();
  needs(function, "test_equipment");
  function = tested_channel();
  function.tests_per_demand.reset();
  needs(function, "tests_per_demand");

  Declared all = declared();
  all.components[2].mttfd_years.reset();
  needs(two_channels(), "mttfd, t10d, or b10d with operations of relay", all);
  all.components[2].b10d_cycles = 1e6;
  needs(two_channels(), "operations of relay", all);
  all.components[2].operations_per_year = 1e4;
  CHECK(estimate(all, two_channels(), everywhere(0.9)).needs.empty());

  const CoverageOf unknown = [](const Component& each) {
    return each.name == "relay" ? std::nullopt : std::optional(0.9);
  };
  needs(two_channels(), "modes or coverage of relay", declared(), unknown);
  // Without diagnostics nothing needs to be known of them.
  function = two_channels();
  function.category = Category::one;
  CHECK(estimate(declared(), function, unknown).needs.empty());
  CHECK(*estimate(declared(), function, unknown).pfhd_per_h == 1.84e-6);
}

TEST_CASE("a component in both channels counts once in the average, and in both channels' MTTFd") {
  Function function = two_channels();
  function.channel_2 = {"other sensor", "relay"};
  const CoverageOf coverage = [](const Component& each) {
    return std::optional(each.name == "relay" ? 0.0 : 1.0);
  };
  const Estimate e = estimate(declared(), function, coverage);
  CHECK(*e.coverage == doctest::Approx(0.5));  // 2/200 detected of 2/200 + 1/100
  CHECK(*e.channel_2_years == doctest::Approx(200.0 / 3.0));
}

TEST_CASE("no channel counts for more than 100 years") {
  Declared all = declared();
  for (Component& each : all.components) each.mttfd_years = 1e5;
  const Estimate e = estimate(all, two_channels(), everywhere(0.9));
  CHECK(*e.channel_1_years == 100.0);
  CHECK(*e.mttfd_years == doctest::Approx(100.0));
}

TEST_CASE("a part that wears out within the mission time is to be replaced") {
  Declared all = declared();
  all.components[2].mttfd_years.reset();
  all.components[2].b10d_cycles = 1e6;
  all.components[2].operations_per_year = 1e5;
  CHECK(any(estimate(all, two_channels(), everywhere(0.9)).notes, "replace relay every 10 years"));
  all.components[2].operations_per_year = 4e4;
  CHECK(estimate(all, two_channels(), everywhere(0.9)).notes.empty());
  all.components[2] = part("relay", 100);
  all.components[2].mttfd_years.reset();
  all.components[2].t10d_years = 19.0;
  CHECK(any(estimate(all, two_channels(), everywhere(0.9)).notes, "replace relay every 19 years"));
}

TEST_CASE("a level below the required one is a shortfall beside the figure") {
  Function function = two_channels();
  function.required = Level::e;
  CHECK(estimate(declared(), function, everywhere(0.9)).shortfalls.empty());
  const Estimate e = estimate(declared(), function, everywhere(0.6));
  CHECK(*e.level == Level::d);
  CHECK(any(e.shortfalls, "performance level e is required"));
}

TEST_CASE("fewer than 100 tests a demand cost a tenth, fewer than 25 the category") {
  Function function = tested_channel();
  const double full = *estimate(declared(), function, everywhere(0.6)).pfhd_per_h;
  function.tests_per_demand = 25.0;
  const Estimate e = estimate(declared(), function, everywhere(0.6));
  REQUIRE(e.pfhd_per_h);
  CHECK(*e.pfhd_per_h == doctest::Approx(1.1 * full));
  CHECK(any(e.notes, "times 1.1"));
}

TEST_CASE("the cross-check lies below the simplified method, which counts every common cause") {
  // Annex K lets a common cause fail both channels whether diagnostics see it or not.
  Declared all = declared();
  Function function = two_channels();
  function.category = Category::four;
  for (const double years : {30.0, 47.0, 100.0}) {
    CAPTURE(years);
    for (Component& each : all.components) each.mttfd_years = 2 * years;
    const Estimate e = estimate(all, function, everywhere(0.99));
    REQUIRE(e.pfhd_per_h);
    REQUIRE(e.cross_check_pfh_per_h);
    CHECK(*e.cross_check_pfh_per_h < *e.pfhd_per_h);
  }
  // One channel without diagnostics: the same formula.
  function.category = Category::one;
  for (Component& each : all.components) each.mttfd_years = 102.0;
  const Estimate e = estimate(all, function, everywhere(0));
  CHECK(*e.cross_check_pfh_per_h == doctest::Approx(2.24e-6).epsilon(0.003));
  CHECK(*e.pfhd_per_h == 2.24e-6);
  CHECK_FALSE(e.pfd_average);
  function.proof_test_years = 1.0;
  const Estimate tested = estimate(all, function, everywhere(0));
  CHECK(*tested.pfd_average == doctest::Approx(2.238e-6 * (4380 + 8)).epsilon(0.001));
}
