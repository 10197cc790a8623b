#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "program_folder.hpp"
#include "terminal_text.hpp"

/// `ovenproof size`, the real program, started as users start it.
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

using ovenproof::test::contents;
using Run = ovenproof::test::ProgramRun;

struct Scratch : ovenproof::test::ProgramFolder {
  Scratch() : ProgramFolder("size", "size") {}
};

const std::string bronze = std::string(SOURCE_DIR) + "/scenarios/machines/bronze_strip_160.yaml";
const std::string bad_files = std::string(SOURCE_DIR) + "/tests/sim/machine/bad/";

std::string replaced(std::string text, const std::string& old, const std::string& fresh) {
  const std::size_t at = text.find(old);
  REQUIRE(at != std::string::npos);
  return text.replace(at, old.size(), fresh);
}

/// A short cycle of a small load.
std::string quick(const Scratch& scratch) {
  std::string text = contents(bronze);
  text = replaced(text, "target: 550 degC", "target: 200 degC");
  text = replaced(text, "ramp: 8 K/min", "ramp: 5 K/min");
  text = replaced(text, "soak: 45 min", "soak: 10 min");
  return scratch.file("quick.yaml", replaced(text, "mass: 40 kg", "mass: 20 kg"));
}

/// Lines put together again: where one is broken depends on how long the path is.
std::string in_one_line(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c != ' ' && c != '\n') {
      out += c;
    } else if (!out.ends_with(' ')) {
      out += ' ';
    }
  }
  return out;
}

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE(
    "a machine is sized and simulated, with the same bytes and files for any number of jobs") {
  const Scratch scratch;
  const std::string machine = quick(scratch);
  const Run one = scratch.run("--jobs 1 --out one " + machine);
  const Run four = scratch.run("--jobs 4 --out four " + machine);
  CHECK(one.status == 0);
  CHECK(one.err.empty());
  CHECK(ovenproof::test::unfit_line(one.out) == "");
  CHECK(one.out.find('\x1B') == std::string::npos);
  CHECK(has(one.out, "Bronze strip oven, 160 L\n  PASSED: the simulated cycle ended well\n"));
  CHECK(has(one.out, "never replaces it"));
  CHECK(four.out == one.out);
  for (const char* const name :
       {"figures.csv", "floors.csv", "oxygen.csv", "temperature.csv", "size.json"}) {
    CAPTURE(name);
    const std::string text = contents(scratch.work() / "one" / name);
    CHECK(text.size() > 100);
    CHECK(contents(scratch.work() / "four" / name) == text);
  }
  const Json json = Json::parse(contents(scratch.work() / "one" / "size.json"));
  CHECK(json["holds"] == true);
  CHECK(json["cycle_problem"].is_null());
  CHECK(json["curves"][1]["simulated"].size() > 20);
  // Nothing but the whole files.
  std::size_t files = 0;
  for ([[maybe_unused]] const auto& each : fs::directory_iterator(scratch.work() / "one")) ++files;
  CHECK(files == 5);
}

TEST_CASE("a sweep is simulated point by point, with the same bytes for any number of jobs") {
  const Scratch scratch;
  const std::string arguments =
      "--sweep 'purge.purge_flow=80 L/min..120 L/min/2' --figures gate_time,gas_cycle --json " +
      quick(scratch);
  const Run one = scratch.run("--jobs 1 " + arguments);
  const Run two = scratch.run("--jobs 2 " + arguments);
  CHECK(one.status == 0);
  CHECK(two.out == one.out);
  const Json json = Json::parse(one.out);
  REQUIRE(json["points"].size() == 2);
  CHECK(json["axes"][0]["values"] == Json{"80 L/min", "120 L/min"});
  const auto simulated = [&json](std::size_t point) {
    for (const Json& each : json["points"][point]["figures"]) {
      if (each["id"] == "gate_time") return each["simulated"].get<double>();
    }
    return 0.0;
  };
  CHECK(simulated(0) > 1.3 * simulated(1));
}

TEST_CASE("a figure on which the formula differs is a remark with its reason, and fails nothing") {
  const Scratch scratch;
  // Too little gain: the gas follows the programme late, which no formula of a lump regards.
  const std::string slow =
      scratch.file("slow.yaml", replaced(contents(bronze), "gain: 0.15 1/K", "gain: 0.03 1/K"));
  const Run run = scratch.run("--out there " + slow);
  CHECK(run.status == 0);
  CHECK(has(run.out, "PASSED: the simulated cycle ended well"));
  CHECK(has(in_one_line(run.out), "; on each other there is a remark."));
  CHECK(ovenproof::test::unfit_line(run.out) == "");
  const Json json = Json::parse(contents(scratch.work() / "there" / "size.json"));
  CHECK(json["holds"] == true);
  std::size_t remarks = 0;
  for (const Json& each : json["figures"]) {
    CHECK((each["verdict"] == "differs") == !each["remark"].is_null());
    if (each["remark"].is_null()) continue;
    ++remarks;
    const std::string remark = each["remark"];
    CHECK(remark.starts_with("formula and simulation differ by "));
    CHECK(has(remark, "the formula leaves out "));
    CHECK(has(in_one_line(run.out), "remark: " + remark));
  }
  CHECK(remarks > 0);
}

TEST_CASE("an oven that trips in its cycle fails, and the report says by what") {
  const Scratch scratch;
  const std::string tripping =
      scratch.file("tripping.yaml", replaced(contents(quick(scratch)), "temperature:\n",
                                             "temperature:\n  rate_max_rise: 2 K\n"
                                             "  rate_window: 60 s\n"));
  const Run run = scratch.run(tripping);
  CHECK(run.status == 1);
  CHECK(has(run.out, "FAILED: the simulated cycle: the oven tripped"));
  CHECK(ovenproof::test::unfit_line(run.out) == "");
}

TEST_CASE("a sweep by formula is a table in 80 columns, of the figures that were chosen") {
  const Scratch scratch;
  const Run run = scratch.run(
      "--formulas-alone --sweep 'purge.purge_flow=60..140 L/min/3' "
      "--sweep 'tightness.air_ingress=1..3 mL/min/2' --figures gate_time,floor_purge,room_steady "
      "--out there " +
      bronze);
  CHECK(run.status == 0);
  CHECK(ovenproof::test::unfit_line(run.out) == "");
  CHECK(has(run.out, "A is purge.purge_flow"));
  CHECK(has(run.out, "B is tightness.air_ingress"));
  CHECK(has(run.out, "gate_time, min"));
  CHECK(has(run.out, "6 points by formula, nothing simulated"));
  const std::string csv = contents(scratch.work() / "there" / "sweep.csv");
  CHECK(has(csv, "purge.purge_flow,tightness.air_ingress,figure,unit,predicted"));
  CHECK(has(csv, "140 L/min,0.003 L/min,gate_time,min,"));
  CHECK(Json::parse(contents(scratch.work() / "there" / "sweep.json"))["points"].size() == 6);
}

TEST_CASE("bad machines and commands exit with 2, say why, and write nothing") {
  const Scratch scratch;
  const auto refused = [&scratch](const std::string& arguments, std::string_view why) {
    CAPTURE(arguments);
    const Run run = scratch.run("--out there " + arguments);
    CAPTURE(run.err);
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK(ovenproof::test::unfit_line(run.err) == "");
    CHECK(has(in_one_line(run.err), why));
    CHECK(scratch.wrote_nothing());
  };
  refused("", "MACHINE");
  refused("/no/such/file.yaml", "no/such/file.yaml");
  refused(bad_files + "wrong_units.yaml", "expected");
  refused(bad_files + "scan_period_too_long.yaml", "scan.period");
  refused(bad_files + "wrong_units.yaml --sweep 'purge.gate=50 ppm..90 ppm'", "expected");
  refused(bronze + " --jobs 0", "--jobs");
  refused(bronze + " --cylinders 0", "--cylinders");
  refused(bronze + " --margin 0.5", "--margin");
  refused(bronze + " --cylinder-volume 50", "--cylinder-volume: expected a volume");
  refused(bronze + " --cylinder-pressure '200 L'", "--cylinder-pressure: expected a pressure");
  refused(bronze + " --figures gate_tiem", "did you mean gate_time?");
  refused(bronze + " --sweep purge.gat='50 ppm..90 ppm'", "did you mean purge.gate?");
  refused(bronze + " --sweep 'purge.process_flow=1 L/min..150 L/min/2'", "in the sweep, with");
  // All at once.
  refused(bronze + " --figures nonsense --cylinder-volume x --sweep y", "--sweep y");
  refused(bronze + " --figures nonsense --cylinder-volume x --sweep y", "--cylinder-volume");
}

TEST_CASE("cylinders count as stated") {
  const Scratch scratch;
  const auto cycles = [&scratch](const std::string& arguments) {
    const Run run = scratch.run("--formulas-alone --json " + arguments + " " + bronze);
    REQUIRE(run.status == 0);
    const Json told = Json::parse(run.out);
    for (const Json& each : told["figures"]) {
      if (each["id"] == "cylinder_cycles") return each["predicted"].get<double>();
    }
    return 0.0;
  };
  const double usual = cycles("");
  CHECK(cycles("--cylinders 2") == doctest::Approx(2.0 * usual));
  CHECK(cycles("--cylinder-volume '25 L'") == doctest::Approx(0.5 * usual));
  // What is above the supply pressure of 4 bar can be used.
  CHECK(cycles("--cylinder-pressure '102 bar'") == doctest::Approx(0.5 * usual));
}
