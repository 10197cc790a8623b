#include "monitor_semantics.hpp"

#include <string>

#include <doctest/doctest.h>

#include "monitor_random.hpp"
#include "property.hpp"
#include "sim/properties/monitor.hpp"

namespace ovenproof::properties::reference {
namespace {

constexpr std::chrono::milliseconds scan{10};

Outcome outcome_of(const Bounds& bounds) {
  if (bounds.low.second) return Outcome::holds;
  return bounds.high.second ? Outcome::undecided : Outcome::violated;
}

void agrees(const Formula& formula, const Run& run, const SignalTable& table) {
  const std::string plain = text_of(formula);
  constexpr std::pair<Quantity, const char*> quantities[] = {
      {Quantity::ms, "ms"}, {Quantity::ppm, "ppm"}, {Quantity::Pa, "Pa"}};
  std::vector<Property> properties;
  std::vector<Quantity> judged;
  for (const auto& [quantity, unit] : quantities) {
    if (!speaks_of(formula, quantity)) continue;
    const Compiled compiled = compile(plain + ", margin in " + unit, table, scan);
    if (!compiled.property) RC_FAIL(plain + "\n" + compiled.errors.front().message());
    properties.push_back(*compiled.property);
    judged.push_back(quantity);
  }
  MonitorSet monitor(properties);
  for (const Scan& now : run) monitor.step(row_of(now));
  const std::vector<Verdict> verdicts = monitor.finish();
  for (std::size_t i = 0; i < judged.size(); ++i) {
    const Bounds bounds = judge(formula, run, judged[i]);
    const Outcome outcome = outcome_of(bounds);
    const double sure = outcome == Outcome::violated ? bounds.high.first : bounds.low.first;
    if (verdicts[i].outcome != outcome || verdicts[i].margins[0].value != sure) {
      RC_FAIL(properties[i].text() + "\nby definition " + std::to_string(int(outcome)) + " " +
              std::to_string(sure) + "\nmonitored     " + std::to_string(int(verdicts[i].outcome)) +
              " " + std::to_string(verdicts[i].margins[0].value));
    }
    if (const auto standing = monitor.standing(i)) RC_ASSERT(*standing == outcome);
  }
}

TEST_CASE("Monitors agree with the definitions on random formulas and runs") {
  const SignalTable table = random_table();
  ovenproof::test::check_property(
      20041022,
      [&] {
        Tape tape = random_tape(60);
        const Formula formula = random_statement(tape, 3);
        Tape values = random_tape(250);
        const Run run = random_run(values);
        RC_LOG() << text_of(formula) << "\n";
        for (const Scan& s : run) {
          RC_LOG() << s.p << s.q << s.r << " " << s.s << " " << s.x << " " << s.y << " " << s.z
                   << "\n";
        }
        agrees(formula, run, table);
      },
      6000);
}

TEST_CASE("Monitors agree with the definitions on long runs and wide windows") {
  const SignalTable table = random_table();
  ovenproof::test::check_property(
      20041023,
      [&] {
        Tape tape = random_tape(30);
        tape.longest = 12;
        const Formula formula = random_statement(tape, 1);
        Tape values = random_tape(800);
        const Run run = random_run(values, 100);
        RC_LOG() << text_of(formula) << "\n" << run.size() << " scans\n";
        agrees(formula, run, table);
      },
      150);
}

}  // namespace
}  // namespace ovenproof::properties::reference
