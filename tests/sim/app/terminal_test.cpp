#include "sim/app/terminal.hpp"

#include <string>

#include <doctest/doctest.h>

#include "property.hpp"
#include "sim/machine/utf8.hpp"

using namespace ovenproof;
using namespace ovenproof::app;

namespace {

rc::Gen<std::string> any_words() {
  const std::vector<std::string> pieces{"a",
                                        "oven",
                                        " ",
                                        "  ",
                                        "\n",
                                        "\xC3\xA4",
                                        "\xE7\x82\x89",
                                        "\xF0\x9F\x94\xA5",
                                        "e\xCC\x81",
                                        "\xFF",
                                        "aVeryLongWordWithoutAnyBlankThatMustBeBrokenSomewhere"};
  return rc::gen::map(rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(pieces)),
                      [](const std::vector<std::string>& parts) {
                        std::string text;
                        for (const std::string& part : parts) text += part;
                        return text;
                      });
}

std::string without_blanks(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c != ' ' && c != '\n') out += c;
  }
  return out;
}

}  // namespace

TEST_CASE("wide characters take two columns, combining marks none, broken bytes one") {
  CHECK(columns_of("oven") == 4);
  CHECK(columns_of("\xC3\xA4") == 1);
  CHECK(columns_of("\xE7\x82\x89") == 2);      // U+7089, a furnace
  CHECK(columns_of("\xF0\x9F\x94\xA5") == 2);  // U+1F525, fire
  CHECK(columns_of("e\xCC\x81") == 1);         // e and U+0301
  CHECK(columns_of("\xFF\xFE") == 2);
  CHECK(columns_of("") == 0);
}

TEST_CASE("wrapped text keeps within its width and loses nothing but blanks") {
  test::check_property(
      20'260'050,
      [] {
        const std::string text = *any_words();
        const int width = *rc::gen::inRange(2, 40);
        std::string all;
        for (const std::string& line : wrapped(text, width)) {
          RC_ASSERT(columns_of(line) <= width);
          all += line;
        }
        RC_ASSERT(without_blanks(all) == without_blanks(text));
      },
      2000);
  CHECK(wrapped("", 10) == std::vector<std::string>{""});
  CHECK(wrapped("one two three", 7) == std::vector<std::string>{"one two", "three"});
  CHECK(wrapped("one\n\ntwo\n", 7) == std::vector<std::string>{"one", "", "two"});
  CHECK(wrapped("abcdefgh", 3) == std::vector<std::string>{"abc", "def", "gh"});
}

TEST_CASE("rows of a table keep their columns, however long a cell is") {
  CHECK(table_row({"a", "b"}, {3, 3}) == "  a   b\n");
  CHECK(table_row({"one two", "b"}, {3, 3}) == "  one b\n  two\n");
  test::check_property(20'260'051, [] {
    const std::string row = table_row({*any_words(), *any_words(), *any_words()}, {35, 16, 25});
    for (std::size_t at = 0; at < row.size();) {
      const std::size_t end = row.find('\n', at);
      RC_ASSERT(columns_of(row.substr(at, end - at)) <= terminal_columns);
      at = end + 1;
    }
  });
}

TEST_CASE("one of a thing is told in the singular") {
  CHECK(counted(0, "case") == "0 cases");
  CHECK(counted(1, "case") == "1 case");
  CHECK(counted(1204, "failure mode") == "1204 failure modes");
}

TEST_CASE("paragraphs are indented and within the terminal") {
  test::check_property(20'260'052, [] {
    const std::string text =
        paragraph(*any_words(), *rc::gen::inRange(0, 20), *rc::gen::inRange(0, 20));
    RC_ASSERT(text.ends_with('\n'));
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t end = text.find('\n', at);
      RC_ASSERT(columns_of(text.substr(at, end - at)) <= terminal_columns);
      at = end + 1;
    }
  });
  CHECK(paragraph("one", 2, 4) == "  one\n");
}

TEST_CASE("style is plain unless made for a terminal") {
  CHECK(Style().heading("text") == "text");
  CHECK(Style().error("text") == "text");
}
