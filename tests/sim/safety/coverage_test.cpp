#include "sim/safety/coverage.hpp"

#include <vector>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof::safety;
using ovenproof::test::check_property;

TEST_CASE("a band of coverage begins at its lower limit") {
  CHECK(band_of(0.0) == CoverageBand::none);
  CHECK(band_of(0.5999) == CoverageBand::none);
  CHECK(band_of(0.60) == CoverageBand::low);
  CHECK(band_of(0.8999) == CoverageBand::low);
  CHECK(band_of(0.90) == CoverageBand::medium);
  CHECK(band_of(0.9899) == CoverageBand::medium);
  CHECK(band_of(0.99) == CoverageBand::high);
  CHECK(band_of(1.0) == CoverageBand::high);
}

TEST_CASE("an average of parts that all lie on a limit lies on it") {
  for (const double limit : {0.60, 0.90, 0.99}) {
    std::vector<Covered> parts;
    for (int i = 1; i < 30; ++i) {
      parts.push_back({7.3 * i, limit});
      CHECK(band_of(average_coverage(parts)) == band_of(limit));
    }
  }
}

TEST_CASE("average coverage lies between the least and the greatest, nearest to what fails most") {
  check_property(
      20'260'071,
      [] {
        const auto count = *rc::gen::inRange<std::size_t>(1, 8);
        std::vector<Covered> parts;
        double least = 1.0;
        double most = 0.0;
        for (std::size_t i = 0; i < count; ++i) {
          const double years = *rc::gen::inRange(1, 1000);
          const double coverage = *rc::gen::inRange(0, 101) / 100.0;
          parts.push_back({years, coverage});
          least = std::min(least, coverage);
          most = std::max(most, coverage);
        }
        const double average = average_coverage(parts);
        RC_ASSERT(average >= least - 1e-12);
        RC_ASSERT(average <= most + 1e-12);
        parts.push_back({1e-9, 0.25});  // fails at once and all the time
        RC_ASSERT(std::abs(average_coverage(parts) - 0.25) < 1e-6);
      },
      500);
}

TEST_CASE("a mode is read with its share or without, and not with anything else behind it") {
  REQUIRE(mode_share("Q1.welded"));
  CHECK(mode_share("Q1.welded")->mode == "Q1.welded");
  CHECK_FALSE(mode_share("Q1.welded")->share);
  REQUIRE(mode_share("Q1.welded 80 %"));
  CHECK(mode_share("Q1.welded 80 %")->mode == "Q1.welded");
  CHECK(*mode_share("Q1.welded 80 %")->share == doctest::Approx(0.8));
  CHECK(*mode_share("Q1.welded 0.5%")->share == doctest::Approx(0.005));
  for (const char* const bad : {"Q1.welded 80", "Q1.welded 0 %", "Q1.welded 101 %", "Q1.welded x %",
                                "Q1.welded  80 %", " 80 %", "Q1.welded 80 % ", "Q1.welded -1 %",
                                "Q1.welded nan %", "Q1.welded inf %", "Q1.welded "}) {
    CAPTURE(bad);
    CHECK_FALSE(mode_share(bad));
  }
}

TEST_CASE("of a component's modes only those detected count as covered, by their shares") {
  using enum ModeFate;
  const auto coverage = [](std::vector<ModeSeen> modes) { return component_coverage(modes); };
  CHECK(*coverage({{1.0, noticed}}) == 1.0);
  for (const ModeFate not_covered : {hazardous, unnoticed, outage, no_effect}) {
    CHECK(*coverage({{1.0, not_covered}}) == 0.0);
    CHECK(*coverage({{0.25, not_covered}, {0.75, noticed}}) == doctest::Approx(0.75));
    CHECK(*coverage({{3.0, not_covered}, {1.0, noticed}}) == doctest::Approx(0.25));
  }
  // What is excluded is on neither side, and nothing left is nothing known.
  CHECK(*coverage({{0.9, excluded}, {0.1, noticed}}) == 1.0);
  CHECK(*coverage({{0.9, excluded}, {0.1, unnoticed}}) == 0.0);
  CHECK_FALSE(coverage({{1.0, excluded}}));
  CHECK_FALSE(coverage({}));
}
