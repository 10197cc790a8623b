// Functional safety figures against published ones. "Seen" is what stands in a page that was seen;
// the other cases name the clause to look up.
#include <array>
#include <cmath>
#include <vector>

#include <doctest/doctest.h>

#include "sim/safety/annex_k.hpp"
#include "sim/safety/coverage.hpp"
#include "sim/safety/measures.hpp"
#include "sim/safety/reliability.hpp"

using namespace ovenproof::safety;

namespace {

/// Rows of MTTFd in table K.1: the series of preferred numbers.
constexpr std::array<double, 38> years{
    3,  3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1, 10, 11, 12, 13, 15, 16,
    18, 20,  22,  24,  27,  30,  33,  36,  39,  43,  47,  51,  56,  62, 68, 75, 82, 91, 100};

/// Whether a figure printed with three digits is the value, give or take one of the last digit.
bool printed_as(double printed, double value) {
  const double last_digit = std::pow(10.0, std::floor(std::log10(printed)) - 2.0);
  return std::fabs(value - printed) <= 1.01 * last_digit;
}

}  // namespace

TEST_CASE("MTTFd from B10d: examples of a trade handbook on ISO 13849-1 (seen)") {
  // A contactor every 20 s around the clock: 126.75 a.
  const double nop = 24.0 * 365.25 * 3600.0 / 20.0;
  CHECK(nop == doctest::Approx(1'577'880));
  CHECK(mttfd_from_b10d_years(20e6, nop) == doctest::Approx(126.75).epsilon(1e-4));
  // A pressure switch each minute, 8 h on 220 days, and a level switch each 10 minutes.
  CHECK(mttfd_from_b10d_years(100'000, 8 * 60 * 220) == doctest::Approx(9.47).epsilon(1e-3));
  CHECK(mttfd_from_b10d_years(100'000, 8 * 6 * 220) == doctest::Approx(94.7).epsilon(1e-3));
}

TEST_CASE("dangerous rate of a relay, B10d 250 000 at 5280 operations a year: 241.1 FIT (seen)") {
  CHECK(dangerous_rate_per_h(mttfd_from_b10d_years(250'000, 5280)) ==
        doctest::Approx(241.1e-9).epsilon(1e-3));
}

TEST_CASE("ISO 13849-1 annex C.4.3, a pneumatic valve") {
  // Life and use of the valve, from memory: ISO 13849-1:2015, C.4.3: check against the standard.
  const double nop = 220.0 * 16 * 3600 / 5;
  CHECK(nop == doctest::Approx(2.53e6).epsilon(2e-3));
  CHECK(t10d_from_b10d_years(60e6, nop) == doctest::Approx(23.7).epsilon(2e-3));
  CHECK(mttfd_from_b10d_years(60e6, nop) == doctest::Approx(237).epsilon(2e-3));
}

TEST_CASE("ISO 13849-1 annex D.2, channels of 3 and 100 years: 66 years") {
  // 66 years, from memory: ISO 13849-1:2015, D.2: check against the standard.
  CHECK(std::floor(symmetric_years(3, 100)) == 66.0);
  CHECK(symmetric_years(100, 3) == symmetric_years(3, 100));
  CHECK(symmetric_years(42, 42) == doctest::Approx(42));
}

TEST_CASE("parts count: rates add up (ISO 13849-1 annex D.1)") {
  const std::array<double, 3> parts{150, 75, 50};
  CHECK(series_years(parts) == doctest::Approx(25));
}

TEST_CASE("bands of performance levels (DIN EN ISO 13849-1 table 3, seen)") {
  CHECK_FALSE(level_of(1e-4));
  CHECK(level_of(9.99e-5) == Level::a);
  CHECK(level_of(1e-5) == Level::a);
  CHECK(level_of(9.99e-6) == Level::b);
  CHECK(level_of(3e-6) == Level::b);
  CHECK(level_of(2.99e-6) == Level::c);
  CHECK(level_of(1e-6) == Level::c);
  CHECK(level_of(9.99e-7) == Level::d);
  CHECK(level_of(1e-7) == Level::d);
  CHECK(level_of(9.99e-8) == Level::e);
  CHECK(level_of(1e-8) == Level::e);
}

TEST_CASE("table K.1: without diagnostics PFHd is 1 / (8760 MTTFd), to the digits printed") {
  for (const double each : years) {
    CAPTURE(each);
    const Category category = each < 30 ? Category::b : Category::one;
    const double printed = *tabulated_pfhd_per_h(category, CoverageBand::none, each);
    CHECK(printed_as(printed, 1.0 / (hours_per_year * each)));
  }
}

TEST_CASE("table K.1: rows of the standard") {
  // PFHd of some rows, from memory: ISO 13849-1:2015, table K.1: check against the standard.
  const auto check = [](Category category, CoverageBand band, double mttfd, double pfhd) {
    CAPTURE(name(category));
    CAPTURE(mttfd);
    CHECK(*tabulated_pfhd_per_h(category, band, mttfd) == pfhd);
  };
  check(Category::b, CoverageBand::none, 3, 3.80e-5);
  check(Category::one, CoverageBand::none, 100, 1.14e-6);
  check(Category::two, CoverageBand::low, 3, 2.58e-5);
  check(Category::two, CoverageBand::low, 100, 5.28e-7);
  check(Category::two, CoverageBand::medium, 10, 5.14e-6);
  check(Category::two, CoverageBand::medium, 100, 2.29e-7);
  check(Category::three, CoverageBand::low, 15, 1.82e-6);
  check(Category::three, CoverageBand::low, 100, 1.01e-7);
  check(Category::three, CoverageBand::medium, 30, 2.65e-7);
  check(Category::three, CoverageBand::medium, 100, 4.29e-8);
  check(Category::four, CoverageBand::high, 30, 9.54e-8);
  check(Category::four, CoverageBand::high, 100, 2.47e-8);
}

TEST_CASE("table K.1 falls smoothly with MTTFd, with coverage and with the category") {
  struct Column {
    Category category;
    CoverageBand band;
    double first;
  };
  for (const auto& [category, band, first] :
       {Column{Category::b, CoverageBand::none, 3}, Column{Category::one, CoverageBand::none, 30},
        Column{Category::two, CoverageBand::low, 3}, Column{Category::two, CoverageBand::medium, 3},
        Column{Category::three, CoverageBand::low, 3},
        Column{Category::three, CoverageBand::medium, 3},
        Column{Category::four, CoverageBand::high, 30}}) {
    CAPTURE(name(category));
    CAPTURE(name(band));
    double last_slope = 0.0;
    double last_year = 0.0;
    double last = 0.0;
    for (const double year : years) {
      if (year < first || (category == Category::b && year >= 30)) continue;
      const double pfhd = *tabulated_pfhd_per_h(category, band, year);
      if (last > 0.0) {
        CAPTURE(year);
        CHECK(pfhd < last);
        // Slope in the log-log plane: a digit that was mistyped bends it.
        const double slope = std::log(pfhd / last) / std::log(year / last_year);
        if (last_slope != 0.0) CHECK(slope == doctest::Approx(last_slope).epsilon(0.2));
        last_slope = slope;
      }
      last = pfhd;
      last_year = year;
    }
  }
  for (const double year : years) {
    CAPTURE(year);
    const auto at = [year](Category c, CoverageBand b) {
      return *tabulated_pfhd_per_h(c, b, year);
    };
    using enum CoverageBand;
    CHECK(at(Category::two, medium) < at(Category::two, low));
    CHECK(at(Category::three, low) < at(Category::two, medium));
    CHECK(at(Category::three, medium) < at(Category::three, low));
    if (year >= 30) CHECK(at(Category::four, high) < at(Category::three, medium));
  }
}

TEST_CASE(
    "between two rows of table K.1 the lower one counts, and beyond its ends nothing better") {
  const auto pfhd = [](Category category, CoverageBand band, double mttfd) {
    return tabulated_pfhd_per_h(category, band, mttfd);
  };
  using enum CoverageBand;
  CHECK(pfhd(Category::three, low, 15.99) == pfhd(Category::three, low, 15));
  CHECK(pfhd(Category::three, low, 16) == 1.67e-6);
  CHECK(pfhd(Category::three, low, 2500) == pfhd(Category::three, low, 100));
  CHECK(pfhd(Category::b, none, 100) == pfhd(Category::b, none, 27));
  CHECK(pfhd(Category::three, high, 30) == pfhd(Category::three, medium, 30));
  CHECK(pfhd(Category::two, high, 30) == pfhd(Category::two, medium, 30));
  for (const Category each : {Category::b, Category::one, Category::two, Category::three}) {
    CHECK_FALSE(pfhd(each, low, 2.99));
  }
  CHECK_FALSE(pfhd(Category::one, none, 29.9));
  CHECK_FALSE(pfhd(Category::two, none, 50));
  CHECK_FALSE(pfhd(Category::three, none, 50));
  CHECK_FALSE(pfhd(Category::four, medium, 50));
  CHECK_FALSE(pfhd(Category::four, high, 29.9));
}

TEST_CASE("tables E.1 and F.1") {
  // Coverage and points, from memory: ISO 13849-1:2015, tables E.1 and F.1: check against the
  // standard.
  int points = 0;
  for (const CommonCauseMeasure& each : common_cause_measures) points += each.points;
  CHECK(points == 100);
  for (const CoverageMeasure& each : coverage_measures) {
    CAPTURE(each.name);
    CHECK(each.least <= each.most);
    CHECK(each.most <= 0.99);
  }
  const auto most = [](std::string_view name) {
    for (const CoverageMeasure& each : coverage_measures) {
      if (each.name == name) return each.most;
    }
    return -1.0;
  };
  CHECK(most("cyclic_test_stimulus") == 0.90);
  CHECK(most("direct_monitoring") == 0.99);
  CHECK(most("sensor_characteristic") == 0.60);
  CHECK(most("watchdog_simple") == 0.60);
  CHECK(most("watchdog_logical") == 0.90);
}
