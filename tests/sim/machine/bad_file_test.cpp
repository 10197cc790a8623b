#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "sim/machine/load.hpp"
#include "written_machine.hpp"

using namespace ovenproof;
using namespace ovenproof::machine;

/// Each file of bad/ is wrong in the way its name says, and beside it stands what must be said of
/// it. A new case is two files.
namespace {

std::vector<std::filesystem::path> cases() {
  std::vector<std::filesystem::path> found;
  for (const auto& entry :
       std::filesystem::directory_iterator(test::source_dir + "/tests/sim/machine/bad")) {
    if (entry.path().extension() == ".yaml") found.push_back(entry.path());
  }
  std::sort(found.begin(), found.end());
  return found;
}

std::string report(const std::filesystem::path& path) {
  const Loaded loaded = load_text(test::contents(path.string()), path.filename().string());
  const auto* errors = std::get_if<std::vector<Error>>(&loaded);
  if (errors == nullptr) return "no errors\n";
  std::string text;
  for (const Error& error : *errors) text += to_text(error) + '\n';
  return text;
}

}  // namespace

TEST_CASE("each bad file is answered with the errors that stand beside it") {
  const auto files = cases();
  REQUIRE(files.size() >= 20);
  for (const auto& file : files) {
    auto expected = file;
    expected.replace_extension(".expect");
    CAPTURE(file.filename().string());
    REQUIRE(std::filesystem::exists(expected));
    const std::string wanted = test::contents(expected.string());
    CHECK_FALSE(wanted.empty());
    CHECK(report(file) == wanted);
  }
}

TEST_CASE("no expectation lacks its bad file") {
  for (const auto& entry :
       std::filesystem::directory_iterator(test::source_dir + "/tests/sim/machine/bad")) {
    auto file = entry.path();
    CAPTURE(file.filename().string());
    CHECK(std::filesystem::exists(file.replace_extension(".yaml")));
  }
}
