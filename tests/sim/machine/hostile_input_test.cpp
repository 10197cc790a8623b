#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <sys/stat.h>
#include <unistd.h>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "property.hpp"
#include "sim/machine/load.hpp"
#include "sim/machine/text_file.hpp"
#include "sim/machine/utf8.hpp"
#include "sim/machine/yaml_tree.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;

namespace {

std::vector<Error> errors_of(std::string_view text) {
  const Loaded loaded = load_text(text, "oven.yaml");
  REQUIRE(std::holds_alternative<std::vector<Error>>(loaded));
  return std::get<std::vector<Error>>(loaded);
}

/// The length of a line in characters; nothing if the text has no such line.
int line_length(std::string_view text, int line) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  for (; line > 1; --line) {
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos) return -1;
    text.remove_prefix(end + 1);
  }
  return static_cast<int>(utf8_count(text.substr(0, text.find('\n'))));
}

bool inside(std::string_view text, Place at) {
  const int length = line_length(text, at.line);
  return at.line >= 1 && at.column >= 1 && length >= 0 && at.column <= length + 1;
}

bool mentions(const std::vector<Error>& errors, std::string_view text) {
  return std::any_of(errors.begin(), errors.end(),
                     [&](const Error& e) { return to_text(e) == text; });
}

std::string temporary(const std::string& name) {
  return (std::filesystem::temp_directory_path() / fmt::format("ovenproof-{}-{}", getpid(), name))
      .string();
}

/// What a random edit may put in: the letters of the format itself.
const std::vector<std::string> pieces{
    ":",  ": ",  "\n",  "\n\n", " ",    "  ",      "- ",   "[",     "]",    "{",           "}",
    ",",  "&a ", "*a",  "!",    "!!",   "|",       ">",    "'",     "\"",   "#",           "%",
    "@",  "`",   "?",   "? ",   "---",  "\n---\n", "...",  "\t",    "~",    "<<",          "\\",
    "\0", "\r",  "nan", "1e99", "\xFF", "\xC3",    "degC", "L/min", "true", "\xEF\xBB\xBF"};

}  // namespace

TEST_CASE("any edit of a demo machine is a machine or errors that lie inside the file") {
  for (const std::string& file : test::demo_files) {
    const std::string good = test::contents(file);
    test::check_property(
        20'260'040,
        [&] {
          std::string text = good;
          const int edits = *rc::gen::inRange(1, 6);
          for (int i = 0; i < edits && !text.empty(); ++i) {
            const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
            const auto length = *rc::gen::inRange<std::size_t>(0, 40);
            switch (*rc::gen::inRange(0, 6)) {
              case 0:
                text[at] = static_cast<char>(*rc::gen::inRange(0, 256));
                break;
              case 1:
                text.erase(at, length);
                break;
              case 2:
                text.insert(at, *rc::gen::elementOf(pieces));
                break;
              case 3:
                text.insert(at,
                            text.substr(*rc::gen::inRange<std::size_t>(0, text.size()), length));
                break;
              case 4:
                text.resize(at);
                break;
              default:
                text[at] = *rc::gen::elementOf(std::string(" :-[]{}\n\"'&*!|>#"));
            }
          }
          const Loaded loaded = load_text(text, "oven.yaml");
          if (const auto* errors = std::get_if<std::vector<Error>>(&loaded)) {
            RC_ASSERT(!errors->empty());
            for (const Error& error : *errors) {
              RC_ASSERT(inside(text, error.at));
              RC_ASSERT(!error.expected.empty());
              RC_ASSERT(!error.found.empty());
              for (const Related& other : error.related) {
                RC_ASSERT(other.at.line == 0 || inside(text, other.at));
              }
            }
          }
        },
        1500);
  }
}

TEST_CASE("every beginning of a demo machine is errors inside it, or the whole") {
  const std::string good = test::contents(test::demo_files[2]);
  for (std::size_t length = 0; length < good.size(); length += 7) {
    const std::string text = good.substr(0, length);
    CAPTURE(length);
    const Loaded loaded = load_text(text, "oven.yaml");
    if (const auto* errors = std::get_if<std::vector<Error>>(&loaded)) {
      REQUIRE_FALSE(errors->empty());
      for (const Error& error : *errors) CHECK(inside(text, error.at));
    }
  }
}

TEST_CASE("any text made of the format's own letters is survived") {
  test::check_property(
      20'260'041,
      [] {
        const auto parts =
            *rc::gen::container<std::vector<std::string>>(rc::gen::elementOf(pieces));
        std::string text;
        for (const std::string& part : parts) text += part;
        const Loaded loaded = load_text(text, "oven.yaml");
        RC_ASSERT(std::holds_alternative<std::vector<Error>>(loaded));
        for (const Error& error : std::get<std::vector<Error>>(loaded))
          RC_ASSERT(inside(text, error.at));
      },
      3000);
}

TEST_CASE("any bytes at all are survived") {
  test::check_property(
      20'260'042,
      [] {
        const auto text = *rc::gen::arbitrary<std::string>();
        const auto errors = std::get<std::vector<Error>>(load_text(text, "oven.yaml"));
        RC_ASSERT(!errors.empty());
        for (const Error& error : errors) RC_ASSERT(inside(text, error.at));
      },
      2000);
}

TEST_CASE("an anchor, an alias and a tag are refused where they stand, and read as nothing") {
  const auto errors = errors_of("name: &n Oven\noptions: *n\npurge: !!binary aGk=\n");
  CHECK(mentions(errors,
                 "oven.yaml:1:7: name: expected a value without anchor, found an anchor (&)"));
  bool alias = false;
  bool tag = false;
  for (const Error& error : errors) {
    alias = alias || (error.at == Place{2, 10} && error.found == "an alias (*)");
    tag = tag || (error.at.line == 3 && error.found.starts_with("the tag "));
  }
  CHECK(alias);
  CHECK(tag);
}

TEST_CASE("aliases of aliases of lists cost nothing") {
  std::string text = "a: &a [x,x,x,x,x,x,x,x,x]\n";
  for (char c = 'b'; c <= 'z'; ++c) {
    const char before = static_cast<char>(c - 1);
    text += fmt::format("{0}: &{0} [*{1},*{1},*{1},*{1},*{1},*{1},*{1},*{1},*{1}]\n", c, before);
  }
  const auto errors = errors_of(text);
  CHECK(errors.size() <= most_errors);
  CHECK(mentions(errors, "oven.yaml:2:4: b: expected a value without anchor, found an anchor (&)"));
  CHECK(mentions(errors, "oven.yaml:2:8: b[1]: expected a value written out, found an alias (*)"));
}

TEST_CASE("nesting is bounded, in every style") {
  for (const std::string_view piece : {"[", "{a: ", "- ", "? ", "a:\n"}) {
    std::string text;
    std::string indent;
    for (int i = 0; i < 20'000; ++i) {
      if (piece == "a:\n") {
        if (i > 300) break;  // each level indents by one more
        text += indent + "a:\n";
        indent += ' ';
      } else {
        text += piece;
      }
    }
    CAPTURE(piece);
    const auto errors = errors_of(text);
    bool told = false;
    for (const Error& error : errors) {
      told = told ||
             error.expected == fmt::format("at most {} levels of nesting", deepest_nesting) ||
             error.expected == "well-formed YAML";
    }
    CHECK(told);
  }
  CHECK(errors_of(std::string(100, '[')).front().expected == "at most 16 levels of nesting");
}

TEST_CASE("a key given twice points at both places, and the first stands") {
  const auto errors = errors_of("name: One\nname: Two\n");
  bool told = false;
  for (const Error& error : errors) {
    if (error.key != "name") continue;
    told = true;
    CHECK(error.at == Place{2, 1});
    REQUIRE(error.related.size() == 1);
    CHECK(error.related[0].at == Place{1, 1});
  }
  CHECK(told);
}

TEST_CASE("a second document is refused") {
  const std::string text = test::contents(test::demo_files[0]) + "---\nname: Another\n";
  const auto errors = errors_of(text);
  REQUIRE(errors.size() == 1);
  CHECK(errors[0].expected == "one document");
  CHECK(line_length(text, errors[0].at.line) >= 0);
}

TEST_CASE("what is no text is told by its first bad byte") {
  CHECK(to_text(errors_of(std::string_view("name: a\nb\0c", 11)).front()) ==
        "oven.yaml:2:2: expected text in UTF-8, found the byte 0x00 (is this a binary file?)");
  CHECK(to_text(errors_of("name: \xC3\xA4\xFF").front()) ==
        "oven.yaml:1:8: expected text in UTF-8, found the byte 0xFF");
  CHECK(to_text(errors_of("\xFF\xFEn\0").front()) ==
        "oven.yaml:1:1: expected text in UTF-8, found the byte 0xFF");
  CHECK(to_text(errors_of("a: \x1B[31m").front()).find("0x1B") != std::string::npos);
}

TEST_CASE("an empty file, blanks and comments alone are told apart from a machine") {
  CHECK(to_text(errors_of("").front()) == "oven.yaml:1:1: expected a machine, found an empty file");
  CHECK(to_text(errors_of(" \n\t\n").front()) ==
        "oven.yaml:1:1: expected a machine, found an empty file");
  CHECK(to_text(errors_of("# only a comment\n").front()) ==
        "oven.yaml:1:1: expected a machine, found nothing but comments");
  CHECK(errors_of("---\n").front().at.line >= 1);
  CHECK(errors_of("just words").front().found == "\"just words\"");
  CHECK(errors_of("[a, list]").front().found == "a list");
}

TEST_CASE("a byte order mark and line ends of any system do not matter") {
  const std::string good = test::contents(test::demo_files[0]);
  CHECK(std::holds_alternative<Machine>(load_text("\xEF\xBB\xBF" + good, "oven.yaml")));
  std::string crlf;
  for (const char c : good) {
    if (c == '\n') crlf += '\r';
    crlf += c;
  }
  CHECK(std::holds_alternative<Machine>(load_text(crlf, "oven.yaml")));
}

TEST_CASE("columns count characters, not bytes") {
  const auto errors = errors_of("{\"\xC3\xA4\xC3\xA4\xC3\xA4\": 1, name: [x]}");
  bool told = false;
  for (const Error& error : errors) {
    if (error.key == "name" && error.found == "a list") {
      told = true;
      CHECK(error.at.column == 18);
    }
  }
  CHECK(told);
}

TEST_CASE("columns are right along one line of thousands of values") {
  std::string text = "{name: [";
  for (int i = 0; i < 5000; ++i) text += "\xC3\xA4, ";
  text += "!x y]}";
  const auto errors = errors_of(text);
  const auto tag = std::find_if(errors.begin(), errors.end(), [](const Error& error) {
    return error.expected == "a value without tag";
  });
  REQUIRE(tag != errors.end());
  CHECK(tag->at.column == 9 + 3 * 5000);
}

TEST_CASE("of a flood of errors the first hundred are told, and how many more there are") {
  std::string text;
  for (int i = 0; i < 500; ++i) text += fmt::format("unknown_{}: 1\n", i);
  const auto errors = errors_of(text);
  CHECK(errors.size() == most_errors);
  CHECK(errors.back().hint.find("more errors") != std::string::npos);
}

TEST_CASE("control characters of quoted text do not get into a name") {
  const std::string good = test::contents(test::demo_files[0]);
  std::string text = good;
  text.replace(text.find("name: Bronze strip oven, 160 L"), 30, "name: \"\\e[31mred\"");
  const auto errors = errors_of(text);
  REQUIRE(errors.size() == 1);
  CHECK(errors[0].key == "name");
  CHECK(errors[0].found == "\"\\x1B[31mred\"");
}

TEST_CASE("what is no readable file is told as such") {
  const auto told = [](const std::string& path) {
    const Loaded loaded = load_file(path);
    REQUIRE(std::holds_alternative<std::vector<Error>>(loaded));
    return to_text(std::get<std::vector<Error>>(loaded).front());
  };
  const std::string missing = temporary("missing.yaml");
  CHECK(told(missing) == missing + ": expected a readable text file, found no such file");
  CHECK(told("/tmp") == "/tmp: expected a readable text file, found a directory");
  CHECK(told("") == ": expected a readable text file, found no such file");
  CHECK(told("/dev/zero") == "/dev/zero: expected at most 256 KiB, found a longer file");
  CHECK(told("/dev/null").ends_with("found an empty file"));
  CHECK(told(std::string(5000, 'x')).find("expected a readable text file, found ") !=
        std::string::npos);

  const std::string path = temporary("file.yaml");
  {
    std::ofstream out(path);
    out << std::string(longest_file, '#');
  }
  CHECK(told(path).find("nothing but comments") != std::string::npos);
  {
    std::ofstream out(path, std::ios::app);
    out << '#';
  }
  CHECK(told(path) == path + ": expected at most 256 KiB, found a longer file");
  if (geteuid() != 0) {  // root reads everything
    chmod(path.c_str(), 0);
    CHECK(told(path).find("found ") != std::string::npos);
  }
  std::remove(path.c_str());
}
