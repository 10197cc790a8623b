#include <string>

#include <doctest/doctest.h>

#include "sim/machine/load.hpp"
#include "sim/machine/warnings.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;

namespace {

std::vector<Error> warnings_of(const std::string& text) {
  REQUIRE(std::holds_alternative<Machine>(load_text(text, "oven.yaml")));
  std::vector<Error> found = warnings_in_text(text, "oven.yaml");
  // A changed machine needs to be signed for again: sign_off_test.cpp.
  std::erase_if(found, [](const Error& each) { return each.key == "sign_off.digest"; });
  return found;
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  return text.replace(at, what.size(), by);
}

}  // namespace

TEST_CASE("the demo machines leave nothing to be looked at") {
  for (const std::string& file : test::demo_files) {
    CAPTURE(file);
    CHECK(warnings_of(test::contents(file)).empty());
  }
}

TEST_CASE("a target below the one before is pointed at, in its place, with the one before") {
  const std::string good = test::contents(test::demo_files[2]);  // 120, 250, 350 degC
  const auto found = warnings_of(replaced(good, "target: 350 degC", "target: 249 degC"));
  REQUIRE(found.size() == 1);
  const std::string text = to_text(found[0]);
  CAPTURE(text);
  CHECK(found[0].key == "programme.segments[3].target");
  CHECK(found[0].at.line > 1);
  CHECK(found[0].found == "249 degC");
  CHECK(text.find("a target not below the one before") != std::string::npos);
  REQUIRE(found[0].related.size() == 1);
  CHECK(found[0].related[0].key == "programme.segments[2].target");
  CHECK(found[0].related[0].at.line == found[0].at.line - 3);
  // As high as the one before is no step down.
  CHECK(warnings_of(replaced(good, "target: 350 degC", "target: 250 degC")).empty());
}

TEST_CASE("a purge timeout that a cold oxygen cell would use up is pointed at") {
  const std::string good = test::contents(test::demo_files[0]);
  // 4.6 x 200 s to warm up, 120 s to settle, and 12.2 min of purge: 1775 s.
  const auto found = warnings_of(replaced(good, "timeout: 40 min", "timeout: 29 min"));
  REQUIRE(found.size() == 1);
  const std::string text = to_text(found[0]);
  CAPTURE(text);
  CHECK(found[0].key == "purge.timeout");
  CHECK(text.find("longer than 1775 s: the oxygen reading takes 1040 s") != std::string::npos);
  CHECK(text.find("oxygen.warm_up_time_constant") != std::string::npos);
  CHECK(warnings_of(replaced(good, "timeout: 40 min", "timeout: 30 min")).empty());
  // A quicker cell leaves the time.
  CHECK(warnings_of(replaced(good, "timeout: 40 min", "timeout: 29 min") +
                    "\noxygen:\n  warm_up_time_constant: 150 s\n")
            .empty());
}

TEST_CASE("an oven without an oxygen monitor waits for no cell") {
  CHECK(warnings_of(
            replaced(test::contents(test::demo_files[2]), "timeout: 45 min", "timeout: 21 min"))
            .empty());
}

TEST_CASE("a file with errors has those, and no warnings") {
  CHECK(warnings_in_text("name: [a]", "oven.yaml").empty());
  CHECK(warnings_in_file("/no/such/file").empty());
}
