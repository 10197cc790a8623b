#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "monitor_random.hpp"
#include "property.hpp"
#include "sim/properties/monitor.hpp"

// Worked by hand on the definitions and identities of the published papers; the papers are cited
// from memory: papers on signal temporal logic, titles below: check against the source.
// [MN04] O. Maler, D. Nickovic, "Monitoring Temporal Properties of Continuous Signals", FORMATS
// 2004. [DM10] A. Donze, O. Maler, "Robust Satisfaction of Temporal Logic over Real-Valued
// Signals",
//        FORMATS 2010.
// [DFM13] A. Donze, T. Ferrere, O. Maler, "Efficient Robust Monitoring for STL", CAV 2013.

namespace ovenproof::properties::reference {
namespace {

Verdict judged(const std::string& text, const SignalTable& table,
               const std::vector<std::vector<double>>& rows, std::chrono::milliseconds period) {
  const Compiled compiled = compile(text, table, period);
  if (!compiled.property) throw std::logic_error(compiled.errors.front().message());
  Monitor monitor(*compiled.property);
  for (const auto& row : rows) monitor.step(row);
  return monitor.finish();
}

TEST_CASE("[MN04] Whenever x exceeds 0.7, y exceeds 0.7 between 3 and 5 s later: true and false") {
  // The example property, from memory: Maler and Nickovic, FORMATS 2004: check against the
  // source, on signals of our own sampled each second: x exceeds 0.7 at 1 and 2 s; y must do so
  // somewhere in [4, 6] and in [5, 7].
  SignalTable table;
  table.add_number("x", "V");
  table.add_number("y", "V");
  const std::string text =
      "always [0 s, 3 s] x > 0.7 V implies eventually [3 s, 5 s] y > 0.7 V, margin in V";
  const auto rows = [](double at_5) {
    std::vector<std::vector<double>> r(9, {0.0, 0.0});
    r[1][0] = 0.8;
    r[2][0] = 1.0;
    r[5][1] = at_5;
    return r;
  };
  // By hand: at 1 s max(0.7 - 0.8, max(y[4..6]) - 0.7) = 0.9 - 0.7; at 2 s the same; at 0 and 3 s
  // max(0.7 - 0, ...) = 0.7. The least is 0.2.
  const Verdict good = judged(text, table, rows(0.9), std::chrono::seconds(1));
  CHECK(good.outcome == Outcome::holds);
  CHECK(good.margins[0].value == doctest::Approx(0.2));
  // With y = 0.5: at 1 s max(-0.1, -0.2) = -0.1; at 2 s max(-0.3, -0.2) = -0.2.
  const Verdict bad = judged(text, table, rows(0.5), std::chrono::seconds(1));
  CHECK(bad.outcome == Outcome::violated);
  CHECK(bad.margins[0].value == doctest::Approx(-0.2));
}

TEST_CASE("[DM10] Distances of negation, conjunction and until follow their definitions by hand") {
  SignalTable table;
  table.add_number("x", "V");
  table.add_number("y", "V");
  // rho(x > 0) = 2, 1, 3, -1 and rho(y > 0) = -3, -1, 2, 4.
  const std::vector<std::vector<double>> rows{{2, -3}, {1, -1}, {3, 2}, {-1, 4}};
  const auto margin = [&](const std::string& text) {
    return judged(text, table, rows, std::chrono::seconds(1)).margins[0].value;
  };
  CHECK(margin("at_start x > 0 V") == 2.0);
  CHECK(margin("at_start not x > 0 V") == -2.0);
  CHECK(margin("at_start x > 0 V and y > 0 V") == -3.0);
  CHECK(margin("at_start x > 0 V or y > 0 V") == 2.0);
  // The until of [DM10] asks for x up to and with the scan of y: min(rho y(t'), min x over [0,
  // t']): t' = 0: min(-3, 2) = -3; 1: min(-1, 1) = -1; 2: min(2, 1) = 1; 3: min(4, -1) = -1. The
  // best: 1.
  CHECK(margin("x > 0 V until [0 s, 3 s] (x > 0 V and y > 0 V), margin in V") == 1.0);
  // Ours stops before it: 0: -3; 1: min(-1, 2) = -1; 2: min(2, 1) = 1; 3: min(4, 1) = 1.
  CHECK(margin("x > 0 V until [0 s, 3 s] y > 0 V, margin in V") == 1.0);
  CHECK(margin("x > 0 V until [3 s, 3 s] (x > 0 V and y > 0 V), margin in V") == -1.0);
  CHECK(margin("x > 0 V until [3 s, 3 s] y > 0 V, margin in V") == 1.0);
}

/// Both texts have one verdict and margin, on random conditions P and Q and random runs.
void same(std::uint64_t seed, const std::string& left, const std::string& right) {
  const SignalTable table = random_table();
  ovenproof::test::check_property(
      seed,
      [&] {
        Tape tape = random_tape(40);
        const std::string p = "(" + text_of(random_condition(tape, 2)) + ")";
        const std::string q = "(" + text_of(random_condition(tape, 2)) + ")";
        Tape values = random_tape(250);
        const Run run = random_run(values);
        Verdict verdicts[2];
        for (int side = 0; side < 2; ++side) {
          std::string text;
          for (const char c : side == 0 ? left : right) {
            text += c == 'P' ? p : c == 'Q' ? q : std::string(1, c);
          }
          const bool speaks = text.find("ppm") != std::string::npos;
          const Compiled compiled = compile(text + (speaks ? ", margin in ppm" : ", margin in ms"),
                                            table, std::chrono::milliseconds(10));
          if (!compiled.property) RC_FAIL(text + "\n" + compiled.errors.front().message());
          RC_LOG() << text << "\n";
          Monitor monitor(*compiled.property);
          for (const Scan& now : run) monitor.step(row_of(now));
          verdicts[side] = monitor.finish();
        }
        RC_ASSERT(verdicts[0].outcome == verdicts[1].outcome);
        RC_ASSERT(verdicts[0].margins[0].value == verdicts[1].margins[0].value);
      },
      800);
}

TEST_CASE("[MN04] Eventually is until with a condition that is always true") {
  same(41, "always (eventually [10 ms, 40 ms] P)", "always (true until [10 ms, 40 ms] P)");
}

TEST_CASE("[MN04] Always is what does not eventually fail") {
  same(42, "always [20 ms, 50 ms] P", "not eventually [20 ms, 50 ms] not P");
}

TEST_CASE("[MN04] Windows in windows add up") {
  same(43, "always (eventually [10 ms, 20 ms] (eventually [0 ms, 30 ms] P))",
       "always (eventually [10 ms, 50 ms] P)");
}

TEST_CASE("[DFM13] A bounded until is an until within the same bound and an eventually") {
  same(44, "at_start (P until [20 ms, 50 ms] Q)",
       "at_start ((always [0 ms, 10 ms] P) and eventually [20 ms, 20 ms] (P until [0 ms, 30 ms] "
       "Q))");
}

TEST_CASE("Past operators mirror those of the future") {
  same(45, "at_end (once [10 ms, 30 ms] P)", "at_end (true since [10 ms, 30 ms] P)");
  same(46, "at_end (historically [10 ms, 30 ms] P)", "at_end (not once [10 ms, 30 ms] not P)");
}

TEST_CASE("Until and since obey the laws of expansion by one scan") {
  same(47, "always (P until [0 ms, 30 ms] Q)",
       "always (Q or (P and eventually [10 ms, 10 ms] (P until [0 ms, 20 ms] Q)))");
  same(48, "always (P since [0 ms, 30 ms] Q)",
       "always (Q or (P and once [10 ms, 10 ms] (P since [0 ms, 20 ms] Q)))");
}

}  // namespace
}  // namespace ovenproof::properties::reference
