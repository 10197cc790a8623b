#include "sim/evidence/difference.hpp"

#include <doctest/doctest.h>

namespace ovenproof::evidence {
namespace {

struct Pair {
  const char* name;
  std::string first;
  std::string second;
  const char* where;
  const char* in_first;
  const char* in_second;
};

TEST_CASE("the first difference is told by its place in the document, the table or the text") {
  const std::string csv = "time [s],oxygen [ppm],k1\n0.000,209500,0\n10.000,1500,1\n";
  const std::string other_csv = "time [s],oxygen [ppm],k1\n0.000,209500,0\n10.000,1501,1\n";
  const std::string late_csv = "time [s],oxygen [ppm],k1\n0.000,209500,0\n11.000,1500,1\n";
  for (const Pair& each : std::initializer_list<Pair>{
           {"a.json", R"({"a": [1, {"b": 2}]})", R"({"a": [1, {"b": 3}]})", "/a/1/b", "2", "3"},
           {"a.json", R"({"a": [1, 2]})", R"({"a": [1]})", "/a", "a list of 2", "a list of 1"},
           {"a.json", R"({"a": 1, "b/c~": 2})", R"({"a": 1})", "/b~1c~0", "2", "nothing"},
           {"a.json", R"({"a": 1})", R"({"a": 1, "b": {}})", "/b", "nothing", "an object of 0"},
           {"a.json", R"({"a": true})", R"({"a": "true"})", "/a", "true", "\"true\""},
           {"a.json", R"({"a": "x"})", R"({"a": "y"})", "/a", "\"x\"", "\"y\""},
           {"a.json", "[1]", "[1] ", "line 1, character 4", "nothing", "[1] "},
           {"a.json", "[1", "[2", "line 1, character 2", "[1", "[2"},
           {"a.csv", csv, other_csv, "line 3 (time [s] 10.000), column oxygen [ppm]", "1500",
            "1501"},
           {"a.csv", csv, late_csv, "line 3, column time [s]", "10.000", "11.000"},
           {"a.csv", csv, csv.substr(0, csv.size() - 14), "line 3, character 1", "10.000,1500,1",
            "nothing"},
           {"a.txt", "one\ntwo\n", "one\ntvo\n", "line 2, character 2", "two", "tvo"},
           {"a.txt", "", "x", "line 1, character 1", "nothing", "x"},
           {"a.db", std::string("a\0b", 3), std::string("a\0c", 3), "byte 2", "62", "63"},
       }) {
    CAPTURE(each.first);
    CAPTURE(each.second);
    const auto found = first_difference(each.name, each.first, each.second);
    REQUIRE(found);
    CHECK(found->where == each.where);
    CHECK(found->first == each.in_first);
    CHECK(found->second == each.in_second);
    CHECK_FALSE(first_difference(each.name, each.first, each.first));
    CHECK_FALSE(first_difference(each.name, each.second, each.second));
  }
}

TEST_CASE("of long texts the part that differs is shown") {
  const std::string head(500, 'x');
  const auto json = first_difference("a.json", '"' + head + "one" + '"', '"' + head + "two" + '"');
  REQUIRE(json);
  CHECK(json->first == "\"... xxxxxxxxxxxxxxxxxxxxone\"");
  const auto text = first_difference("a.txt", head + "one", head + "two" + head);
  REQUIRE(text);
  CHECK(text->first == "... xxxxxxxxxxxxxxxxxxxxone");
  CHECK(text->second.size() < 80);
}

TEST_CASE("a document nested without end is compared as far as ours could be") {
  const std::string deep(20'000, '[');
  const std::string closed(20'000, ']');
  CHECK(first_difference("a.json", deep + "1" + closed, deep + "2" + closed));
}

}  // namespace
}  // namespace ovenproof::evidence
