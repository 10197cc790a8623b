#include <cmath>
#include <string>

#include <doctest/doctest.h>

#include "monitor_random.hpp"
#include "property.hpp"

// What a margin promises, checked on random formulas and runs. The promise is
// from memory: A. Donze and O. Maler, "Robust Satisfaction of Temporal Logic over Real-Valued
// Signals", FORMATS 2010: check against the source: a positive distance means true, a negative one
// false, and no change of the signals by less than the distance can change the truth.

namespace ovenproof::properties::reference {
namespace {

constexpr std::chrono::milliseconds scan{10};
using ovenproof::test::check_property;

Property compiled(const std::string& text, const SignalTable& table) {
  const Compiled result = compile(text, table, scan);
  if (!result.property) RC_FAIL(text + "\n" + result.errors.front().message());
  return *result.property;
}

Verdict monitored(const Property& property, const Run& run) {
  Monitor monitor(property);
  for (const Scan& now : run) monitor.step(row_of(now));
  return monitor.finish();
}

/// Moves every limit on x and y by up to `most`, each by an amount of its own.
void shake(Formula& f, Tape& tape, double most) {
  if (f.kind == Kind::compare && f.number != 2) {
    f.limit += (tape.choose(201) - 100) / 100.0 * most;
  }
  for (Formula& part : f.parts) shake(part, tape, most);
}

TEST_CASE("No change of limits by less than the margin changes the verdict") {
  const SignalTable table = random_table();
  int shaken = 0;
  check_property(
      20100908,
      [&] {
        Tape tape = random_tape(60);
        Formula formula = random_statement(tape, 3);
        Tape values = random_tape(250);
        const Run run = random_run(values);
        if (!speaks_of(formula, Quantity::ppm)) return;
        const Property before = compiled(text_of(formula) + ", margin in ppm", table);
        const Verdict verdict = monitored(before, run);
        const double margin = std::fabs(verdict.margins[0].value);
        if (verdict.outcome == Outcome::undecided || margin == 0.0 || margin > 1e6) return;
        ++shaken;
        for (int i = 0; i < 5; ++i) {
          Formula other = formula;
          Tape changes = random_tape(20);
          shake(other, changes, 0.99 * margin);
          const Property after = compiled(text_of(other) + ", margin in ppm", table);
          RC_LOG() << before.text() << "\n" << after.text() << "\nmargin " << margin << "\n";
          RC_ASSERT(monitored(after, run).outcome == verdict.outcome);
        }
      },
      3000);
  CHECK(shaken > 500);
}

TEST_CASE("The sign of a margin never contradicts the verdict, in any quantity") {
  const SignalTable table = random_table();
  int signs[2] = {0, 0};
  check_property(
      31,
      [&] {
        Tape tape = random_tape(60);
        const std::string text = text_of(random_statement(tape, 3));
        Tape values = random_tape(250);
        const Property property = compiled(text, table);
        const Verdict verdict = monitored(property, random_run(values));
        RC_LOG() << text << "\n";
        for (const Margin& margin : verdict.margins) {
          if (verdict.outcome == Outcome::holds) RC_ASSERT(!(margin.value < 0.0));
          if (verdict.outcome == Outcome::violated) RC_ASSERT(!(margin.value > 0.0));
          if (margin.value != 0.0) ++signs[verdict.outcome == Outcome::holds ? 1 : 0];
        }
      },
      4000);
  CHECK(signs[0] > 500);
  CHECK(signs[1] > 500);
}

TEST_CASE("A deadline tightened by its margin still holds, and not with one scan less") {
  const SignalTable table = random_table();
  int tightened = 0;
  check_property(
      32,
      [&] {
        Formula formula;
        formula.kind = Kind::after;
        Tape tape = random_tape(40);
        formula.to = tape.choose(12);
        formula.parts = {random_condition(tape, 1), random_condition(tape, 2)};
        Tape values = random_tape(250);
        const Run run = random_run(values);
        const Verdict verdict = monitored(compiled(text_of(formula), table), run);
        const double margin = verdict.margins[0].value;
        if (verdict.outcome != Outcome::holds || margin > 1e6) return;
        ++tightened;
        RC_LOG() << text_of(formula) << " margin " << margin << "\n";
        formula.to -= static_cast<int>(margin / 10.0);
        RC_ASSERT(monitored(compiled(text_of(formula), table), run).outcome == Outcome::holds);
        if (--formula.to < 0) return;
        RC_ASSERT(monitored(compiled(text_of(formula), table), run).outcome != Outcome::holds);
      },
      4000);
  CHECK(tightened > 300);
}

TEST_CASE("The part of the text that is blamed had the distance that is told, at its scan") {
  const SignalTable table = random_table();
  int blamed = 0;
  check_property(
      33,
      [&] {
        Tape tape = random_tape(60);
        const Formula formula = random_statement(tape, 3);
        Tape values = random_tape(250);
        const Run run = random_run(values);
        if (!speaks_of(formula, Quantity::ppm)) return;
        const Property property = compiled(text_of(formula) + ", margin in ppm", table);
        const Margin margin = monitored(property, run).margins[0];
        if (std::fabs(margin.value) > 1e6) return;
        ++blamed;
        const std::string part =
            property.text().substr(margin.origin.begin, margin.origin.end - margin.origin.begin);
        RC_LOG() << property.text() << "\nblames " << part << " at " << margin.origin_scan << "\n";
        RC_ASSERT(margin.origin_scan < run.size());
        const Run moment{run[margin.origin_scan]};
        const Property alone = compiled("at_start " + part, table);
        RC_ASSERT(std::fabs(monitored(alone, moment).margins[0].value) == std::fabs(margin.value));
      },
      3000);
  CHECK(blamed > 500);
}

TEST_CASE("Properties monitored together have the verdicts they have alone") {
  const SignalTable table = random_table();
  check_property(
      34,
      [&] {
        std::vector<Property> properties;
        for (int i = 0; i < 6; ++i) {
          Tape tape = random_tape(40);
          properties.push_back(compiled(text_of(random_statement(tape, 2)), table));
        }
        Tape values = random_tape(250);
        const Run run = random_run(values);
        MonitorSet together(properties);
        for (const Scan& now : run) together.step(row_of(now));
        const std::vector<Verdict> verdicts = together.finish();
        for (std::size_t i = 0; i < properties.size(); ++i) {
          const Verdict alone = monitored(properties[i], run);
          RC_LOG() << properties[i].text() << "\n";
          RC_ASSERT(verdicts[i].outcome == alone.outcome);
          RC_ASSERT(verdicts[i].vacuous == alone.vacuous);
          for (std::size_t m = 0; m < alone.margins.size(); ++m) {
            RC_ASSERT(verdicts[i].margins[m].value == alone.margins[m].value);
            RC_ASSERT(verdicts[i].margins[m].origin == alone.margins[m].origin);
            RC_ASSERT(verdicts[i].margins[m].scan == alone.margins[m].scan);
          }
        }
      },
      1500);
}

TEST_CASE("A copy taken anywhere, and the original, end as an undisturbed monitor does") {
  const SignalTable table = random_table();
  check_property(
      35,
      [&] {
        Tape tape = random_tape(60);
        const Property property = compiled(text_of(random_statement(tape, 3)), table);
        Tape values = random_tape(250);
        const Run run = random_run(values);
        Tape others = random_tape(250);
        const Run elsewhere = random_run(others);
        const std::size_t fork = *rc::gen::inRange<std::size_t>(0, run.size() + 1);
        Monitor original(property);
        for (std::size_t i = 0; i < fork; ++i) original.step(row_of(run[i]));
        Monitor copy = original;
        for (const Scan& now : elsewhere) original.step(row_of(now));
        for (std::size_t i = fork; i < run.size(); ++i) copy.step(row_of(run[i]));
        Run joined(run.begin(), run.begin() + static_cast<std::ptrdiff_t>(fork));
        joined.insert(joined.end(), elsewhere.begin(), elsewhere.end());
        RC_LOG() << property.text() << "\n";
        for (const auto& [forked, whole] :
             {std::pair{copy.finish(), monitored(property, run)},
              std::pair{original.finish(), monitored(property, joined)}}) {
          RC_ASSERT(forked.outcome == whole.outcome);
          RC_ASSERT(forked.margins[0].value == whole.margins[0].value);
          RC_ASSERT(forked.margins[0].origin_scan == whole.margins[0].origin_scan);
        }
      },
      2000);
}

TEST_CASE("A verdict that is settled during the run is the verdict at its end") {
  const SignalTable table = random_table();
  int settled = 0;
  check_property(
      36,
      [&] {
        Tape tape = random_tape(60);
        const Property property = compiled(text_of(random_statement(tape, 3)), table);
        Tape values = random_tape(250);
        const Run run = random_run(values);
        Monitor monitor(property);
        std::optional<Outcome> first;
        bool told = false;
        for (const Scan& now : run) {
          told = monitor.step(row_of(now)) || told;
          if (!first) first = monitor.standing();
        }
        RC_LOG() << property.text() << "\n";
        RC_ASSERT(told == (monitor.standing() == Outcome::violated));
        if (!first) return;
        ++settled;
        RC_ASSERT(monitor.finish().outcome == *first);
      },
      3000);
  CHECK(settled > 500);
}

}  // namespace
}  // namespace ovenproof::properties::reference
