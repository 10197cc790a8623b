#include <string>

#include <doctest/doctest.h>

#include "property.hpp"
#include "sim/machine/error.hpp"
#include "sim/machine/suggest.hpp"
#include "sim/machine/utf8.hpp"

using namespace ovenproof::machine;
using ovenproof::test::check_property;

TEST_CASE("UTF-8 sequences are as long as the Unicode Standard's table 3-7 says, else none") {
  CHECK(utf8_length("") == 0);
  CHECK(utf8_length("a") == 1);
  CHECK(utf8_length("\xC2\xB0") == 2);
  CHECK(utf8_length("\xE2\x82\xAC") == 3);
  CHECK(utf8_length("\xF0\x9F\x94\xA5") == 4);
  CHECK(utf8_length("\xF4\x8F\xBF\xBF") == 4);
  for (const char* const bad :
       {"\x80", "\xC0\x80", "\xC1\xBF", "\xC2", "\xC2 ", "\xE0\x9F\xBF", "\xED\xA0\x80", "\xE2\x82",
        "\xF0\x8F\xBF\xBF", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF"}) {
    CAPTURE(bad);
    CHECK(utf8_length(bad) == 0);
  }
}

TEST_CASE("shown text holds no control characters, whatever went in, and is short") {
  check_property(
      20'260'010,
      [] {
        const auto text = *rc::gen::arbitrary<std::string>();
        const std::string out = shown(text, 20);
        RC_ASSERT(utf8_count(out) <= 20 * 8 + 3);
        for (std::string_view rest = out; !rest.empty();) {
          const std::size_t length = utf8_length(rest);
          RC_ASSERT(length > 0);
          const auto first = static_cast<unsigned char>(rest[0]);
          RC_ASSERT(first >= 0x20);
          RC_ASSERT(first != 0x7F);
          if (length == 2)
            RC_ASSERT(!(first == 0xC2 && static_cast<unsigned char>(rest[1]) < 0xA0));
          rest.remove_prefix(length);
        }
      },
      1000);
  CHECK(shown("plain \xC2\xB0"
              "C") ==
        "plain \xC2\xB0"
        "C");
  CHECK(shown("\x1B[31m") == "\\x1B[31m");
  CHECK(shown("\xC2\x9B"
              "31m") == "\\xC2\\x9B31m");
  CHECK(shown(std::string(100, 'a'), 10) == "aaaaaaaaaa...");
  CHECK(shown("\xFF") == "\\xFF");
}

TEST_CASE("an error as text names place, key, expected, found, hint and the other place") {
  const Error error{"oven.yaml",
                    {3, 9},
                    "purge.gate",
                    "less",
                    "more",
                    "try less",
                    {{{4, 9}, "purge.hold_limit", "5 ppm"}, {{}, "load.mass", "40 kg"}}};
  CHECK(to_text(error) ==
        "oven.yaml:3:9: purge.gate: expected less, found more (try less)\n"
        "    oven.yaml:4:9: purge.hold_limit: 5 ppm\n"
        "    not in the file: load.mass: 40 kg");
  CHECK(to_text({"oven.yaml", {}, "", "a file", "none", "", {}}) ==
        "oven.yaml: expected a file, found none");
}

TEST_CASE("edit distance counts letters inserted, deleted, replaced and swapped") {
  CHECK(edit_distance("", "") == 0);
  CHECK(edit_distance("abc", "abc") == 0);
  CHECK(edit_distance("", "abc") == 3);
  CHECK(edit_distance("kitten", "sitting") == 3);
  CHECK(edit_distance("gaet", "gate") == 1);
  check_property(20'260'011, [] {
    const auto word = rc::gen::container<std::string>(rc::gen::elementOf(std::string("abc")));
    const std::string a = *word;
    const std::string b = *word;
    RC_ASSERT(edit_distance(a, b) == edit_distance(b, a));
    RC_ASSERT((edit_distance(a, b) == 0) == (a == b));
    RC_ASSERT(edit_distance(a, b) <= static_cast<int>(std::max(a.size(), b.size())));
  });
}

TEST_CASE("only words that are near are suggested") {
  CHECK(nearest("purge_flw", {"process_flow", "purge_flow"}) == "purge_flow");
  CHECK(nearest("xyz", {"process_flow", "purge_flow"}).empty());
  CHECK(nearest("", {"a"}).empty());
  CHECK(nearest("b", {"a"}).empty());
  CHECK(nearest("ab", {"a"}) == "a");
  CHECK(nearest(std::string(100'000, 'x'), {"purge_flow"}).empty());
}
