#include <algorithm>
#include <filesystem>
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "program_folder.hpp"
#include "terminal_text.hpp"

/// The real program, started as users start it.
namespace {

namespace fs = std::filesystem;

using ovenproof::test::contents;
using Run = ovenproof::test::ProgramRun;

Run run(const std::string& arguments) {
  const fs::path out = fs::temp_directory_path() / fmt::format("ovenproof-replay-out-{}", getpid());
  const fs::path err = fs::temp_directory_path() / fmt::format("ovenproof-replay-err-{}", getpid());
  const int raw =
      std::system(fmt::format("cd '{}/scenarios/logs' && '{}' {} >'{}' 2>'{}' </dev/null",
                              SOURCE_DIR, PROGRAM, arguments, out.string(), err.string())
                      .c_str());
  REQUIRE(WIFEXITED(raw));
  Run result{WEXITSTATUS(raw), contents(out), contents(err)};
  fs::remove(out);
  fs::remove(err);
  return result;
}

const std::string bronze =
    " --machine ../machines/bronze_strip_160.yaml --mapping site_mapping.yaml ";

}  // namespace

TEST_CASE("replay exits with 0, 1 or 2, and its output fits 80 columns") {
  const std::string coil =
      " --machine ../machines/coil_anneal_300.yaml --mapping site_mapping.yaml ";
  const std::string properties = " --property site_properties.txt";
  for (const auto& [arguments, status] :
       {std::pair{"nominal.csv" + bronze + properties, 0}, std::pair{"irregular.csv" + bronze, 0},
        std::pair{"wiring_fault.csv" + coil, 1},
        std::pair{"passing_valve.csv" + bronze + properties, 1},
        std::pair{"nominal.csv" + bronze + "--property 'always plant.gas <'", 2},
        std::pair{std::string("nominal.csv --machine ../machines/bronze_strip_160.yaml"), 2},
        std::pair{"no_such.csv" + bronze, 2}, std::pair{"site_mapping.yaml" + bronze, 2},
        std::pair{"/dev/zero" + bronze, 2}, std::pair{std::string(PROGRAM) + bronze, 2},
        std::pair{std::string("nominal.csv"), 2}}) {
    CAPTURE(arguments);
    const Run result = run("replay " + arguments);
    CHECK(result.status == status);
    CHECK(ovenproof::test::unfit_line(result.out) == "");
    CHECK(ovenproof::test::unfit_line(result.err) == "");
    CHECK(result.out.empty() == (status == 2));
    CHECK(result.err.empty() == (status != 2));
  }
}

TEST_CASE("a result that cannot be written is an internal fault") {
  if (!fs::exists("/dev/full")) return;
  const int raw = std::system(fmt::format("cd '{}/scenarios/logs' && '{}' replay irregular.csv {} "
                                          ">/dev/full 2>/dev/null",
                                          SOURCE_DIR, PROGRAM, bronze)
                                  .c_str());
  CHECK(WEXITSTATUS(raw) == 3);
}

TEST_CASE("--json prints one object, for a good log and a bad one, the same each time") {
  const Run first = run("replay passing_valve.csv --json --property site_properties.txt" + bronze);
  CHECK(first.status == 1);
  const auto json = nlohmann::json::parse(first.out);
  CHECK(json["difference_count"] == 0);
  CHECK(json["broken"].size() == 1);
  CHECK(json["caution"].get<std::string>().find("never replaces") != std::string::npos);
  CHECK(run("replay passing_valve.csv --json --property site_properties.txt" + bronze).out ==
        first.out);
  const Run bad = run("replay site_mapping.yaml --json" + bronze);
  CHECK(bad.status == 2);
  CHECK(nlohmann::json::parse(bad.out)["error_count"].get<int>() >= 1);
}

TEST_CASE("help teaches, and fits") {
  const Run help = run("replay --help");
  CHECK(help.status == 0);
  CHECK(ovenproof::test::unfit_line(help.out) == "");
  CHECK(help.out.find("Examples") != std::string::npos);
  CHECK(help.out.find("Exit status") != std::string::npos);
  // The first example works as shown, from the root of the source tree.
  const std::size_t begin = help.out.find("  ovenproof replay ") + 12;
  const std::size_t end = help.out.find("\n  ovenproof replay ", begin);
  REQUIRE(end != std::string::npos);
  const std::string command = fmt::format("cd '{}' && '{}' {} >/dev/null 2>&1", SOURCE_DIR, PROGRAM,
                                          help.out.substr(begin, end - begin));
  CHECK(std::system(command.c_str()) == 0);
}

TEST_CASE("each command of the guide to the example logs compares something") {
  const std::string guide = contents(fs::path(SOURCE_DIR) / "scenarios/logs/README.md");
  std::size_t commands = 0;
  for (std::size_t at = guide.find("ovenproof replay"); at != std::string::npos;
       at = guide.find("ovenproof replay", at + 1)) {
    std::string command = guide.substr(at, guide.find("\n```", at) - at);
    command.erase(0, std::string("ovenproof ").size());
    for (std::size_t i = 0; (i = command.find("\\\n")) != std::string::npos;) {
      command.replace(i, 2, " ");
    }
    for (std::size_t i = 0; (i = command.find("scenarios/", i)) != std::string::npos; i += 3) {
      command.replace(i, std::string("scenarios/").size(), "../");
    }
    CAPTURE(command);
    const nlohmann::json json = nlohmann::json::parse(run(command + " --json").out);
    CHECK(json["rows_compared"].get<double>() > 0.9 * json["log"]["rows"].get<double>());
    const Run text = run(command);
    CHECK(text.out.find("NOTHING") == std::string::npos);
    CHECK(std::count(text.out.begin(), text.out.end(), '\n') < 80);
    ++commands;
  }
  CHECK(commands > 0);
}

TEST_CASE("a log that is cut at every row says that nothing was compared, in few lines") {
  const Run result = run("replay passing_valve.csv --gap 10" + bronze);
  CHECK(result.status == 1);
  CHECK(result.out.find("NOTHING WAS COMPARED") != std::string::npos);
  CHECK(result.out.find("--gap") != std::string::npos);
  CHECK(std::count(result.out.begin(), result.out.end(), '\n') < 80);
}
