#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
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

struct Scratch : ovenproof::test::ProgramFolder {
  Scratch() : ProgramFolder("app", "") {}
};

const std::string machines = std::string(SOURCE_DIR) + "/scenarios/machines/";
const std::string bad_files = std::string(SOURCE_DIR) + "/tests/sim/machine/bad/";

}  // namespace

TEST_CASE("good machines exit with 0, results on standard output, nothing on standard error") {
  const Scratch scratch;
  const Run run = scratch.run("check " + machines + "*.yaml");
  CHECK(run.status == 0);
  CHECK(run.err.empty());
  CHECK(run.out.find("Bronze strip oven") != std::string::npos);
  CHECK(run.out.find("Titanium bracket oven") != std::string::npos);
  CHECK(run.out.find("Coil annealing oven") != std::string::npos);
  CHECK(run.out.find("never replaces it") != std::string::npos);
  CHECK(ovenproof::test::unfit_line(run.out) == "");
  CHECK(scratch.wrote_nothing());
}

TEST_CASE(
    "each bad machine exits with 2, its errors on standard error, nothing on standard output, "
    "nothing written") {
  const Scratch scratch;
  int seen = 0;
  for (const auto& entry : fs::directory_iterator(bad_files)) {
    if (entry.path().extension() != ".yaml") continue;
    CAPTURE(entry.path().string());
    const Run run = scratch.run("check '" + entry.path().string() + "'");
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK(run.err.find(entry.path().filename().string() + ":") != std::string::npos);
    ++seen;
  }
  CHECK(seen >= 20);
  CHECK(scratch.wrote_nothing());
}

TEST_CASE("a bad file among good ones is told, the good ones are still reported") {
  const Scratch scratch;
  const Run run = scratch.run(
      fmt::format("check {0}bronze_strip_160.yaml {1}wrong_units.yaml {0}coil_anneal_300.yaml",
                  machines, bad_files));
  CHECK(run.status == 2);
  CHECK(run.out.find("Bronze strip oven") != std::string::npos);
  CHECK(run.out.find("Coil annealing oven") != std::string::npos);
  CHECK(run.err.find("wrong_units.yaml") != std::string::npos);
  CHECK(run.err.find("6 errors") != std::string::npos);
}

TEST_CASE("--json prints one object, for bad files too") {
  const Scratch scratch;
  const Run good = scratch.run("check --json " + machines + "*.yaml");
  CHECK(good.status == 0);
  CHECK(nlohmann::json::parse(good.out)["machines"].size() == 3);
  const Run bad = scratch.run("check " + bad_files + "wrong_units.yaml --json");
  CHECK(bad.status == 2);
  CHECK(bad.err.empty());
  CHECK(nlohmann::json::parse(bad.out)["machines"][0]["errors"].size() == 6);
  CHECK(scratch.run("check --json " + machines + "*.yaml").out == good.out);
}

TEST_CASE("what is no machine file exits with 2") {
  const Scratch scratch;
  for (const std::string file :
       {"/no/such/file.yaml", "/tmp", "/dev/null", "/dev/zero", PROGRAM, "''"}) {
    CAPTURE(file);
    const Run run = scratch.run("check " + file);
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK(run.err.find("1 error") != std::string::npos);
  }
  CHECK(scratch.wrote_nothing());
}

TEST_CASE("wrong commands exit with 2 and say where help is") {
  const Scratch scratch;
  for (const std::string arguments :
       {"", "chek", "check", "check --nonsense x.yaml", "--nonsense", "keys --schema --markdown",
        "check --quiet --verbose x.yaml"}) {
    CAPTURE(arguments);
    const Run run = scratch.run(arguments);
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK(run.err.find("--help") != std::string::npos);
    CHECK(ovenproof::test::unfit_line(run.err) == "");
  }
  CHECK(scratch.run("keys no_such_key").status == 2);
  CHECK(scratch.run("chek x.yaml").err.find("there is no command chek; did you mean check?") !=
        std::string::npos);
  CHECK(scratch.wrote_nothing());
}

TEST_CASE("help and version are results, teach, and fit the terminal") {
  const Scratch scratch;
  for (const std::string arguments : {"--help", "check --help", "keys --help"}) {
    CAPTURE(arguments);
    const Run run = scratch.run(arguments);
    CHECK(run.status == 0);
    CHECK(run.err.empty());
    CHECK(run.out.find("Example") != std::string::npos);
    CHECK(run.out.find("Exit status") != std::string::npos);
    CHECK(ovenproof::test::unfit_line(run.out) == "");
  }
  CHECK(scratch.run("--help").out.find("never replaces it") != std::string::npos);
  const Run version = scratch.run("--version");
  CHECK(version.status == 0);
  CHECK(version.out.starts_with("ovenproof "));
}

TEST_CASE("the commands that help shows as examples work as shown") {
  const Scratch scratch;
  int tried = 0;
  for (const std::string page : {"--help", "check --help", "keys --help"}) {
    const std::string help = scratch.run(page).out;
    const std::string lead = "  ovenproof ";
    for (std::size_t at = help.find(lead, help.find("Examples:")); at != std::string::npos;
         at = help.find(lead, at + 1)) {
      const std::size_t begin = at + lead.size();
      const std::string arguments = help.substr(begin, help.find('\n', begin) - begin);
      CAPTURE(arguments);
      // From the root of the source tree, where the paths of the examples hold.
      const std::string command = fmt::format("cd '{}' && '{}' {} >/dev/null 2>&1", SOURCE_DIR,
                                              PROGRAM, arguments.substr(0, arguments.find('>')));
      CHECK(std::system(command.c_str()) == 0);
      ++tried;
    }
  }
  CHECK(tried >= 6);
}

TEST_CASE("output to a pipe or file holds no colour, whatever the environment says") {
  const Scratch scratch;
  for (const std::string environment :
       {"TERM=xterm-256color", "TERM=xterm-256color NO_COLOR=1", "CLICOLOR_FORCE=1", "TERM="}) {
    const Run run = scratch.run(
        "check " + machines + "coil_anneal_300.yaml " + bad_files + "empty.yaml", environment);
    CHECK(run.out.find('\x1B') == std::string::npos);
    CHECK(run.err.find('\x1B') == std::string::npos);
  }
}

TEST_CASE("standard output that cannot be written is an internal fault, not a silent success") {
  if (!fs::exists("/dev/full")) return;
  const Scratch scratch;
  const std::string command =
      fmt::format("'{}' check {}coil_anneal_300.yaml >/dev/full 2>/dev/null", PROGRAM, machines);
  CHECK(WEXITSTATUS(std::system(command.c_str())) == 3);
}

TEST_CASE("a name of the longest kind does not widen the output") {
  const Scratch scratch;
  std::string text = contents(machines + "bronze_strip_160.yaml");
  const std::string name = "name: Bronze strip oven, 160 L";
  text.replace(text.find(name), name.size(), "name: " + std::string(120, 'W'));
  const Run run = scratch.run("check '" + scratch.file("long.yaml", text) + "'");
  CHECK(run.status == 0);
  CHECK(run.out.find(std::string(80, 'W')) != std::string::npos);
  CHECK(ovenproof::test::unfit_line(run.out) == "");
}

TEST_CASE("the keys are listed whole, in part, as Markdown and as JSON Schema") {
  const Scratch scratch;
  const Run all = scratch.run("keys");
  CHECK(all.status == 0);
  CHECK(ovenproof::test::unfit_line(all.out) == "");
  CHECK(all.out.find("\npurge.gate\n") != std::string::npos);
  const Run some = scratch.run("keys limiter.");
  CHECK(some.out.starts_with("limiter."));
  CHECK(some.out.find("purge.") == std::string::npos);
  CHECK(scratch.run("keys --schema").out ==
        contents(std::string(SOURCE_DIR) + "/docs/machine.schema.json"));
  CHECK(scratch.run("keys --markdown").out ==
        contents(std::string(SOURCE_DIR) + "/docs/machine-keys.md"));
}

TEST_CASE("help shows no types of the parser, and the default of each number") {
  const Scratch scratch;
  for (const char* command : {"check", "size", "run", "prove", "campaign", "campaign report",
                              "campaign merge", "replay", "evidence", "diff", "keys"}) {
    CAPTURE(command);
    const Run run = scratch.run(std::string(command) + " --help");
    CHECK(run.status == 0);
    for (const char* type : {"UINT", "INT:", "FLOAT", " in ["}) {
      CHECK(run.out.find(type) == std::string::npos);
    }
    CHECK(ovenproof::test::unfit_line(run.out) == "");
  }
  CHECK(scratch.run("campaign merge --help").out.find("files of all shards") != std::string::npos);
  CHECK(scratch.run("campaign --help").out.find("[20]") != std::string::npos);
}

TEST_CASE("every complaint about a command begins alike") {
  const Scratch scratch;
  for (const std::string& arguments :
       {std::string("prove"), "run --trace csv " + machines + "bronze_strip_160.yaml",
        "campaign --shard 2/1 " + machines + "bronze_strip_160.yaml",
        std::string("keys nothing_so"), "run --filter nobody " + machines + "bronze_strip_160.yaml",
        std::string("evidence --verify no_such"), std::string("campaign report no_such"),
        std::string("check --nonsense")}) {
    CAPTURE(arguments);
    const Run run = scratch.run(arguments);
    CHECK(run.status == 2);
    CHECK(run.err.starts_with("ovenproof: "));
  }
}

TEST_CASE("a row of a campaign is saved with the machine file before or behind") {
  const Scratch scratch;
  const std::string machine = machines + "coil_anneal_300.yaml";
  CHECK(scratch.run("campaign --save 15 one.yaml " + machine).status == 0);
  CHECK(scratch.run("campaign " + machine + " --save 15 two.yaml").status == 0);
  CHECK(contents(scratch.work() / "one.yaml") == contents(scratch.work() / "two.yaml"));
}
