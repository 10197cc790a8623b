#include <limits>

#include <doctest/doctest.h>

#include "monitored.hpp"

namespace ovenproof::properties {
namespace {

using test::judge;
using test::judge_numbers;

constexpr double infinity = std::numeric_limits<double>::infinity();

void check_verdict(const Verdict& verdict, Outcome outcome, double margin, const char* unit) {
  CHECK(verdict.outcome == outcome);
  REQUIRE(verdict.margins.size() == 1);
  CHECK(verdict.margins[0].value == margin);
  CHECK(verdict.margins[0].unit == unit);
}

TEST_CASE("A comparison that always holds has the least distance to its limit as margin") {
  const Verdict v = judge_numbers("always x < 50 ppm", {10, 42, 30, 47, 20});
  check_verdict(v, Outcome::holds, 3.0, "ppm");
  CHECK(v.margins[0].scan == 3);
  CHECK(v.margins[0].origin_scan == 3);
  CHECK(v.margins[0].origin == Span{7, 17});
}

TEST_CASE("A comparison that once fails has its greatest excess as margin, where it was first") {
  const Verdict v = judge_numbers("always x <= 50 ppm", {10, 60, 80, 80, 20});
  check_verdict(v, Outcome::violated, -30.0, "ppm");
  CHECK(v.margins[0].scan == 2);
}

TEST_CASE("At the limit itself the strictness of the comparison decides") {
  check_verdict(judge_numbers("always x < 50 ppm", {50}), Outcome::violated, 0.0, "ppm");
  check_verdict(judge_numbers("always x <= 50 ppm", {50}), Outcome::holds, 0.0, "ppm");
  check_verdict(judge_numbers("never x > 50 ppm", {50}), Outcome::holds, 0.0, "ppm");
  check_verdict(judge_numbers("never x >= 50 ppm", {50}), Outcome::violated, 0.0, "ppm");
  check_verdict(judge_numbers("always x = 50 ppm", {50}), Outcome::holds, 0.0, "ppm");
  check_verdict(judge_numbers("always x != 50 ppm", {50}), Outcome::violated, 0.0, "ppm");
}

TEST_CASE("The margin is told in the unit of the limit, whatever the signal's") {
  check_verdict(judge_numbers("always x < 1 %", {4000}), Outcome::holds, 0.6, "%");
  check_verdict(judge_numbers("always x < 1 %, margin in ppm", {4000}), Outcome::holds, 6000.0,
                "ppm");
}

TEST_CASE("A deadline has the time that was left as margin") {
  //                                            p rises at scan 2, q follows
  check_verdict(judge("within 50 ms after p: q", "00110000", "00001000"), Outcome::holds, 30.0,
                "ms");
  check_verdict(judge("within 50 ms after p: q", "00110000", "00000001"), Outcome::holds, 0.0,
                "ms");
  check_verdict(judge("within 40 ms after p: q", "00110000", "00000001"), Outcome::violated, -10.0,
                "ms");
  check_verdict(judge("within 0.04 s after p then q", "00110000", "00000001"), Outcome::violated,
                -0.01, "s");
}

TEST_CASE("A deadline met at once has all of its time left") {
  check_verdict(judge("within 50 ms after p: q", "0011", "1111"), Outcome::holds, 50.0, "ms");
}

TEST_CASE("A response that never comes is late by the rest of the run at least") {
  const Verdict v = judge("within 30 ms after p: q", "0100000000", "0000000000");
  check_verdict(v, Outcome::violated, -60.0, "ms");
  CHECK(v.margins[0].scan == 1);
  CHECK(v.margins[0].bound);
}

TEST_CASE("The oldest event that still waits decides the margin of a deadline") {
  const Verdict v = judge("within 50 ms after p: q", "0101000000", "0000001000");
  check_verdict(v, Outcome::holds, 0.0, "ms");
  CHECK(v.margins[0].scan == 1);
}

TEST_CASE("A deadline that the end of the run cuts short is undecided") {
  CHECK(judge("within 50 ms after p: q", "00001", "00000").outcome == Outcome::undecided);
  CHECK(judge("within 50 ms after p: q", "0100000", "0000000").outcome == Outcome::violated);
  CHECK(judge("within 50 ms after p: q", "010000", "000000").outcome == Outcome::undecided);
  CHECK(judge("always p implies eventually within 30 ms q", "01000", "00000").outcome ==
        Outcome::violated);
  CHECK(judge("always p implies eventually within 30 ms q", "0100", "0000").outcome ==
        Outcome::undecided);
}

TEST_CASE("What is true from the start does not rise") {
  const Verdict v = judge("within 20 ms after p: q", "1111111", "0000000");
  CHECK(v.outcome == Outcome::holds);
  CHECK(v.vacuous);
  CHECK_FALSE(judge("within 20 ms after p: q", "1101111", "0001000").vacuous);
}

TEST_CASE("A statement of truth alone has the longest violation as margin") {
  check_verdict(judge("always p", "1110110001"), Outcome::violated, -30.0, "ms");
  CHECK(judge("always p", "1110110001").margins[0].scan == 6);
  check_verdict(judge("always p", "1110000"), Outcome::violated, -40.0, "ms");
  check_verdict(judge("always p", "1111"), Outcome::holds, infinity, "ms");
  check_verdict(judge("never p and q", "0110", "0011"), Outcome::violated, -10.0, "ms");
  check_verdict(judge("eventually p", "0111001"), Outcome::holds, 30.0, "ms");
  check_verdict(judge("eventually p", "0000"), Outcome::violated, -infinity, "ms");
}

TEST_CASE("Held for at least a time counts only what was seen") {
  // The first scan is at 0 ms: 20 ms are over at the third.
  check_verdict(judge("at_end p for at least 20 ms", "11"), Outcome::violated, -10.0, "ms");
  check_verdict(judge("at_end p for at least 20 ms", "111"), Outcome::holds, 0.0, "ms");
  check_verdict(judge("at_end p for at least 20 ms", "0111"), Outcome::holds, 0.0, "ms");
  check_verdict(judge("at_end p for at least 20 ms", "110"), Outcome::violated, -20.0, "ms");
  check_verdict(judge("at_end p for at least 15 ms", "111"), Outcome::holds, 5.0, "ms");
  check_verdict(judge("never p for at least 30 ms", "0110111001"), Outcome::holds, 10.0, "ms");
  check_verdict(judge("never p for at least 20 ms", "0110111001"), Outcome::violated, 0.0, "ms");
  // A length that falls between two scans is reached at the second, in every quantity.
  const char* low = "at_end x < 5 ppm for at least 15 ms, margin in ppm";
  check_verdict(judge_numbers(low, {9, 1, 1}), Outcome::violated, -4.0, "ppm");
  check_verdict(judge_numbers(low, {9, 1, 2, 1}), Outcome::holds, 3.0, "ppm");
  CHECK(judge("at_end historically for 20 ms p", "11").outcome == Outcome::holds);
}

TEST_CASE("Once within a time has the time left as margin") {
  check_verdict(judge("always q implies once within 30 ms p", "010000", "000100"), Outcome::holds,
                10.0, "ms");
  check_verdict(judge("always q implies once within 30 ms p", "010000", "000001"),
                Outcome::violated, -10.0, "ms");
  check_verdict(judge("always q implies once within 30 ms p", "000000", "000001"),
                Outcome::violated, -infinity, "ms");
}

TEST_CASE("Until asks for its goal within the run, and not for its condition at the goal") {
  CHECK(judge("p until q", "1100", "0010").outcome == Outcome::holds);
  CHECK(judge("p until q", "1000", "0010").outcome == Outcome::violated);
  CHECK(judge("p until q", "1111", "0000").outcome == Outcome::violated);
  CHECK(judge("p until q", "0000", "1000").outcome == Outcome::holds);
  CHECK(judge("p until within 20 ms q", "1110", "0001").outcome == Outcome::violated);
  CHECK(judge("p until within 30 ms q", "1110", "0001").outcome == Outcome::holds);
}

TEST_CASE("Since looks back from each scan") {
  CHECK(judge("at_end p since q", "0011", "0100").outcome == Outcome::holds);
  CHECK(judge("at_end p since q", "0001", "0100").outcome == Outcome::violated);
  CHECK(judge("at_end p since [10 ms, 20 ms] q", "0011", "0100").outcome == Outcome::holds);
  CHECK(judge("at_end p since within 10 ms q", "0011", "0100").outcome == Outcome::violated);
}

TEST_CASE("Edges and changes are true for one scan") {
  check_verdict(judge("eventually rises(p)", "0011100"), Outcome::holds, 10.0, "ms");
  check_verdict(judge("eventually falls(p)", "0011100"), Outcome::holds, 10.0, "ms");
  check_verdict(judge("eventually falls(p)", "0011111"), Outcome::violated, -infinity, "ms");
  CHECK(judge("never changes(p)", "1111").outcome == Outcome::holds);
  CHECK(judge("never changes(p)", "1101").outcome == Outcome::violated);
  CHECK(judge("always changes(p) implies q", "1100", "0010").outcome == Outcome::holds);
  CHECK(judge_numbers("never changes(x)", {1, 1, 2}).outcome == Outcome::violated);
}

TEST_CASE("Initially and at_end look at the first and the last scan") {
  CHECK(judge("at_start p", "100").outcome == Outcome::holds);
  CHECK(judge("at_start p", "011").outcome == Outcome::violated);
  CHECK(judge("at_end p", "001").outcome == Outcome::holds);
  CHECK(judge("at_end p", "110").outcome == Outcome::violated);
  CHECK(judge("(at_start p) implies at_end q", "000", "000").outcome == Outcome::holds);
  CHECK(judge("(at_start p) implies at_end q", "100", "000").outcome == Outcome::violated);
}

TEST_CASE("A bounded window is judged from the first scan") {
  CHECK(judge("always for 20 ms p", "1110").outcome == Outcome::holds);
  CHECK(judge("always for 30 ms p", "1110").outcome == Outcome::violated);
  CHECK(judge("eventually [20 ms, 30 ms] p", "1101").outcome == Outcome::holds);
  CHECK(judge("eventually [20 ms, 30 ms] p", "1100").outcome == Outcome::violated);
  CHECK(judge("eventually [20 ms, 30 ms] p", "110").outcome == Outcome::undecided);
  CHECK(judge("never [20 ms, 30 ms] p", "1100").outcome == Outcome::holds);
}

TEST_CASE(
    "A temporal word governs all to its right, and and binds tighter than or, or than implies") {
  // always (p implies q), not (always p) implies q
  CHECK(judge("always p implies q", "01", "00").outcome == Outcome::violated);
  CHECK(judge("(always p) implies at_end q", "01", "00").outcome == Outcome::holds);
  // (p and q) or q; p implies (q or p)
  CHECK(judge("always q or p and q", "0", "1").outcome == Outcome::holds);
  CHECK(judge("always p implies q or p", "1", "0").outcome == Outcome::holds);
  // not binds tighter than and; implies leans right
  CHECK(judge("always not p and q", "0", "1").outcome == Outcome::holds);
  CHECK(judge("always p implies q implies p", "0", "1").outcome == Outcome::holds);
  CHECK(judge("always (p implies q) implies p", "0", "1").outcome == Outcome::violated);
  // not p, for 10 ms
  CHECK(judge("at_end not p for at least 10 ms", "00").outcome == Outcome::holds);
  CHECK(judge_numbers("always x - 1 ppm - 1 ppm > 0 ppm", {3}).margins[0].value == 1.0);
  CHECK(judge_numbers("always x - 1 ppm * 2 > 0 ppm", {3}).margins[0].value == 1.0);
  CHECK(judge_numbers("always -x + 4 ppm / 2 > -2 ppm", {3}).margins[0].value == 1.0);
}

TEST_CASE("Conditions on an assumption judge what it concludes") {
  SignalTable table;
  table.add_number("oxygen", "ppm");
  table.add_number("load", "degC");
  Monitor monitor(test::property_of("always load > 200 degC implies oxygen < 1000 ppm", table));
  for (const auto& row : {std::vector<double>{209500, 20}, {900, 210}, {400, 800}, {5000, 199}}) {
    monitor.step(row);
  }
  const Verdict v = monitor.finish();
  check_verdict(v, Outcome::holds, 100.0, "ppm");
  CHECK(v.margins[0].scan == 1);
  CHECK_FALSE(v.vacuous);
}

TEST_CASE("What combines quantities is judged in each of them") {
  SignalTable table;
  table.add_number("oxygen", "ppm");
  table.add_number("load", "degC");
  const Property property =
      test::property_of("always load < 200 degC and oxygen < 1000 ppm", table);
  CHECK(property.margin_units() == std::vector<std::string>{"K", "ppm"});
  Monitor monitor(property);
  monitor.step(std::vector<double>{900, 150});
  CHECK(monitor.finish().margins[0].value == 50.0);
  CHECK(monitor.finish().margins[1].value == 100.0);
  monitor.step(std::vector<double>{900, 230});
  const Verdict v = monitor.finish();
  CHECK(v.outcome == Outcome::violated);
  CHECK(v.margins[0].value == -30.0);
  CHECK(v.margins[1].value == -infinity);  // no oxygen level would have saved it
}

TEST_CASE("A value that is no number makes every comparison with it false, and the negation too") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(judge_numbers("always x < 5 ppm", {1, nan}).outcome == Outcome::violated);
  CHECK(judge_numbers("always not x < 5 ppm", {9, nan}).outcome == Outcome::violated);
  CHECK(judge_numbers("never x >= 5 ppm", {1, nan, 1}).outcome == Outcome::violated);
  CHECK(judge_numbers("always min(x, 3 ppm) < 5 ppm", {1, nan}).outcome == Outcome::violated);
  CHECK(judge_numbers("always min(3 ppm, x) < 5 ppm", {1, nan}).outcome == Outcome::violated);
  CHECK(judge_numbers("always max(9 ppm, x) > 5 ppm", {1, nan}).outcome == Outcome::violated);
  CHECK(judge_numbers("always max(x, 9 ppm) > 5 ppm", {1, nan}).outcome == Outcome::violated);
  CHECK(judge_numbers("always x - x = 0 ppm", {1, nan}).outcome == Outcome::violated);
  CHECK(judge_numbers("eventually x < 5 ppm or x >= 5 ppm", {nan, nan}).outcome ==
        Outcome::violated);
  CHECK(judge_numbers("always x < 5 ppm", {nan, 1}).margins[0].value == -infinity);
}

TEST_CASE("A state or boolean outside its values belongs to no set of them") {
  CHECK(test::judge("always p or not p", "1").outcome == Outcome::holds);
  for (const double odd : {-1.0, 2.0, 64.0, 1e300, std::numeric_limits<double>::quiet_NaN()}) {
    Monitor monitor(test::property_of("always p or not p", test::boolean_table()));
    monitor.step(std::vector<double>{odd, 0.0});
    CHECK(monitor.finish().outcome == Outcome::violated);
  }
}

}  // namespace
}  // namespace ovenproof::properties
