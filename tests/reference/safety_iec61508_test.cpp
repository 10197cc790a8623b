// IEC 61508-6 annex B. Two-digit table values are
// from memory: IEC 61508-6:2010, table B.3: check against the standard; the others follow from its
// formulas by hand.
#include <array>

#include <doctest/doctest.h>

#include "sim/safety/iec_61508.hpp"

using namespace ovenproof::safety;

namespace {

Channels channels(double coverage, double beta = 0.0) {
  return {.dangerous_per_h = 0.5e-6,
          .coverage = coverage,
          .proof_test_h = 8760,
          .repair_h = 8,
          .beta = beta,
          .beta_detected = beta / 2};
}

}  // namespace

TEST_CASE(
    "1oo1, proof test each year, 8 h to restore, 0.5e-6 1/h: table B.3, two digits (memory)") {
  const std::array<std::array<double, 2>, 4> rows{
      {{0.0, 2.2e-3}, {0.6, 8.8e-4}, {0.9, 2.2e-4}, {0.99, 2.6e-5}}};
  for (const auto& [coverage, pfd] : rows) {
    CAPTURE(coverage);
    CHECK(pfd_1oo1(channels(coverage)) == doctest::Approx(pfd).epsilon(0.02));
  }
}

TEST_CASE("1oo2 with common causes: rows of table B.3, from its formula") {
  struct Row {
    double coverage;
    double beta_2;
    double beta_10;
  };
  for (const Row& row : {Row{0.0, 5.00e-5, 2.246e-4}, Row{0.6, 1.858e-5, 8.878e-5},
                         Row{0.9, 4.489e-6, 2.218e-5}, Row{0.99, 4.793e-7, 2.393e-6}}) {
    CAPTURE(row.coverage);
    CHECK(pfd_1oo2(channels(row.coverage, 0.02)) == doctest::Approx(row.beta_2).epsilon(1e-3));
    CHECK(pfd_1oo2(channels(row.coverage, 0.10)) == doctest::Approx(row.beta_10).epsilon(1e-3));
  }
}

TEST_CASE("PFH of 1oo1 is the rate of undetected failures, that of 1oo2 beta of it and pairs") {
  CHECK(pfh_1oo1_per_h(channels(0.9)) == doctest::Approx(5e-8));
  // No diagnostics, beta 10 %: 2 (0.9 x 0.5e-6)^2 (4380 + 8) + 0.1 x 0.5e-6.
  CHECK(pfh_1oo2_per_h(channels(0.0, 0.10)) == doctest::Approx(1.7771e-9 + 5e-8).epsilon(1e-4));
}

TEST_CASE("PFH x T1 / 2 is the PFD of a data sheet: 1.52e-8, 20 a, 1.33e-3 (seen)") {
  Channels c;
  c.dangerous_per_h = 1.52e-8;
  c.proof_test_h = 20 * 8760;
  c.repair_h = 0;
  CHECK(pfd_1oo1(c) == doctest::Approx(1.33e-3).epsilon(2e-3));
}
