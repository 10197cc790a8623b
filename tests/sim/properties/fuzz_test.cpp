#include <rapidcheck.h>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "oven_table.hpp"
#include "property.hpp"
#include "sim/properties/monitor.hpp"

namespace ovenproof::properties {
namespace {

/// What must be true of any text: a property or errors, each error inside the text.
void compiles_or_explains(const std::string& text, const SignalTable& table) {
  const Compiled compiled = compile(text, table, test::scan_period);
  RC_ASSERT(compiled.property.has_value() == compiled.errors.empty());
  RC_ASSERT(compiled.errors.size() <= 2000u);
  for (const Diagnostic& error : compiled.errors) {
    RC_ASSERT(error.span.begin <= error.span.end);
    RC_ASSERT(error.span.end <= text.size());
    RC_ASSERT(!error.expected.empty());
    RC_ASSERT(!error.found.empty());
    RC_ASSERT(error.position == position_of(text, error.span.begin));
  }
  if (!compiled.property) return;
  Monitor monitor(*compiled.property);
  for (int i = 0; i < 5; ++i) monitor.step(test::idle_row());
  (void)describe(*compiled.property, monitor.finish());
}

TEST_CASE("Random bytes never crash the parser") {
  const SignalTable table = test::oven_table();
  ovenproof::test::check_property(
      11,
      [&](const std::vector<std::uint8_t>& bytes) {
        compiles_or_explains(std::string(bytes.begin(), bytes.end()), table);
      },
      5000);
}

TEST_CASE("Random words of the language never crash the parser") {
  const SignalTable table = test::oven_table();
  const std::vector<std::string> words{"always",
                                       "never",
                                       "eventually",
                                       "once",
                                       "historically",
                                       "within",
                                       "for",
                                       "at",
                                       "least",
                                       "after",
                                       "then",
                                       ":",
                                       "until",
                                       "since",
                                       "at_start",
                                       "at_end",
                                       "not",
                                       "and",
                                       "or",
                                       "implies",
                                       "rises",
                                       "falls",
                                       "changes",
                                       "abs",
                                       "min",
                                       "max",
                                       "(",
                                       ")",
                                       "(",
                                       ")",
                                       "[",
                                       "]",
                                       "{",
                                       "}",
                                       ",",
                                       "<",
                                       "<=",
                                       ">",
                                       ">=",
                                       "=",
                                       "!=",
                                       "in",
                                       "+",
                                       "-",
                                       "*",
                                       "/",
                                       "5",
                                       "200 ms",
                                       "5 K",
                                       "50 ppm",
                                       "1e5 W",
                                       "20 degC",
                                       "0.5",
                                       "%",
                                       "door.open",
                                       "heater.on",
                                       "phase",
                                       "soak",
                                       "chamber.oxygen",
                                       "temperature.a",
                                       "temperature.b",
                                       "heater.power",
                                       "limit.chamber",
                                       "reaction",
                                       "nothing",
                                       "margin",
                                       "true",
                                       "false",
                                       "\xC2\xB0",
                                       "\n"};
  ovenproof::test::check_property(
      12,
      [&] {
        const auto picks =
            *rc::gen::resize(60, rc::gen::container<std::vector<std::size_t>>(
                                     rc::gen::inRange<std::size_t>(0, words.size())));
        std::string text;
        for (const std::size_t pick : picks) text += words[pick] + " ";
        compiles_or_explains(text, table);
      },
      10000);
}

TEST_CASE("A property with one byte changed never crashes the parser") {
  const SignalTable table = test::oven_table();
  const std::vector<std::string> texts{
      "within 200 ms after rises(door.open): heater.power < 1 W",
      "always heater.on implies chamber.oxygen <= 50 ppm for at least 60 s, margin in ppm",
      "never (phase in {ramp, soak} and abs(temperature.a - temperature.b) > limit.step)",
      "always (once [1 s, 2.5 s] door.open) since within 3 min not fan.on"};
  for (const std::string& text : texts) CHECK(compile(text, table, test::scan_period).property);
  ovenproof::test::check_property(
      13,
      [&] {
        std::string text = *rc::gen::elementOf(texts);
        const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
        switch (*rc::gen::inRange(0, 3)) {
          case 0:
            text[at] = static_cast<char>(*rc::gen::arbitrary<std::uint8_t>());
            break;
          case 1:
            text.erase(at, 1 + *rc::gen::inRange<std::size_t>(0, 9));
            break;
          default:
            text.insert(at, text.substr(*rc::gen::inRange<std::size_t>(0, text.size()), 7));
        }
        compiles_or_explains(text, table);
      },
      5000);
}

}  // namespace
}  // namespace ovenproof::properties
