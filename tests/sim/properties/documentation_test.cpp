#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "oven_table.hpp"
#include "sim/hazards/hazards.hpp"
#include "sim/properties/property.hpp"

namespace ovenproof::properties {
namespace {

std::string document() {
  std::ifstream file(OVENPROOF_PROPERTIES_DOCUMENT);
  REQUIRE(file.good());
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

TEST_CASE(
    "Every example of the documentation is a property of the rig, with the margins it tells") {
  const std::string text = document();
  const SignalTable table = hazards::signal_table(rig::Oven{});
  std::vector<std::string> units;
  for (std::size_t at = 0; (at = text.find("```property\n", at)) != std::string::npos;) {
    at += 12;
    const std::string example = text.substr(at, text.find("```", at) - at);
    CAPTURE(example);
    const Compiled compiled = compile(example, table, test::scan_period);
    REQUIRE(compiled.errors.empty());
    REQUIRE(compiled.property->margin_units().size() == 1);
    units.push_back(compiled.property->margin_units()[0]);
  }
  CHECK(units ==
        std::vector<std::string>{"ms", "K", "ppm", "s", "ppm", "ms", "1", "ms", "s", "min"});
}

TEST_CASE("Every word and every unit of the documentation is known, and none is missing") {
  const std::string text = document();
  const std::size_t begin = text.find("```ebnf");
  const std::string grammar = text.substr(begin, text.find("```", begin + 7) - begin);
  for (std::size_t at = 0; (at = grammar.find('"', at)) != std::string::npos;) {
    const std::size_t end = grammar.find('"', at + 1);
    const std::string word = grammar.substr(at + 1, end - at - 1);
    at = end + 1;
    CAPTURE(word);
    const bool letters = word.size() > 1 && word[0] >= 'a' && word[0] <= 'z';
    CHECK(is_reserved_word(word) == letters);
  }
  const std::size_t units = text.find("| quantity | symbols |");
  const std::string list = text.substr(units, text.find("\n\n", units) - units);
  int known = 0;
  for (std::size_t at = 0; (at = list.find('`', at)) != std::string::npos;) {
    const std::size_t end = list.find('`', at + 1);
    CAPTURE(list.substr(at + 1, end - at - 1));
    CHECK(parse_unit(list.substr(at + 1, end - at - 1)).has_value());
    at = end + 1;
    ++known;
  }
  CHECK(known == 54);  // all of sim/properties/units.cpp but "1"
}

}  // namespace
}  // namespace ovenproof::properties
