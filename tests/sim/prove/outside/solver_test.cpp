#include "solver.hpp"

#include <algorithm>

#include <doctest/doctest.h>

using namespace ovenproof::prove::test;

/// The explorer against z3: as a fixed point over runs of any length, and unrolled.
TEST_CASE("on random machines explorer and solver agree: verdict, shortest length and vacuity") {
  unsigned refuted = 0;
  unsigned vacuous = 0;
  std::size_t longest = 0;
  constexpr std::uint64_t machines = 200;
  for (std::uint64_t seed = 1; seed <= machines; ++seed) {
    const RandomMachine m = random_machine(seed);
    CAPTURE(seed);
    const std::string property = m.property();
    CAPTURE(property);
    const Examined::Verdict verdict = examine(m.machine(), {property}).verdicts[0];
    REQUIRE(verdict.violated_after.has_value() == solver_refutes(m));
    CHECK(verdict.premise_met == solver_reaches_premises(m));
    vacuous += verdict.premise_met ? 0 : 1;
    if (!verdict.violated_after) continue;
    ++refuted;
    longest = std::max(longest, *verdict.violated_after);
    for (std::size_t scans = 1; scans < *verdict.violated_after; ++scans) {
      REQUIRE_FALSE(solver_refutes_in(m, scans));
    }
    CHECK(solver_refutes_in(m, *verdict.violated_after));
  }
  // The draw must be worth something: both verdicts, and runs that are not over at once.
  CAPTURE(refuted);
  CAPTURE(vacuous);
  CAPTURE(longest);
  CHECK(refuted > machines / 5);
  CHECK(refuted < machines * 4 / 5);
  CHECK(vacuous > machines / 20);
  CHECK(longest >= 5);
}
