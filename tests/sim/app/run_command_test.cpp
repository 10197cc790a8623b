#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "program_folder.hpp"
#include "sim/hazards/hazards.hpp"
#include "terminal_text.hpp"

/// `ovenproof run`, the real program, started as users start it.
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

using ovenproof::test::contents;
using Run = ovenproof::test::ProgramRun;

struct Scratch : ovenproof::test::ProgramFolder {
  Scratch() : ProgramFolder("run", "run") {}
};

const std::string machines = std::string(SOURCE_DIR) + "/scenarios/machines/";
const std::string bronze = machines + "bronze_strip_160.yaml";
const std::string bad_files = std::string(SOURCE_DIR) + "/tests/sim/machine/bad/";

std::string line(const std::string& text, int number) {
  std::size_t at = 0;
  for (int i = 0; i < number; ++i) at = text.find('\n', at) + 1;
  return text.substr(at, text.find('\n', at) - at);
}

std::string replaced(std::string text, const std::string& old, const std::string& fresh) {
  const std::size_t at = text.find(old);
  REQUIRE(at != std::string::npos);
  return text.replace(at, old.size(), fresh);
}

const std::size_t judged = ovenproof::hazards::default_hazards().size();

/// The bronze strip oven told that 5 K in a minute is more than it can rise: it trips in its ramp.
std::string tripping(const Scratch& scratch) {
  return scratch.file("tripping.yaml",
                      replaced(contents(bronze), "temperature:\n",
                               "temperature:\n  rate_max_rise: 5 K\n  rate_window: 60 s\n"));
}

}  // namespace

TEST_CASE("a cycle that holds exits with 0 and says so in the first line after the name") {
  const Scratch scratch;
  const Run run = scratch.run("--cycles 1 " + bronze);
  CHECK(run.status == 0);
  CHECK(run.err.empty());
  CHECK(line(run.out, 0) == "Bronze strip oven, 160 L");
  CHECK(line(run.out, 1) == "  HOLDS: 1 of 1 cycle complete");
  CHECK(line(run.out, 2).find(fmt::format("0 of {} hazards occurred", judged)) !=
        std::string::npos);
  CHECK(run.out.find("Timeline") != std::string::npos);
  CHECK(run.out.find("purge time") != std::string::npos);
  CHECK(run.out.find("never replaces it") != std::string::npos);
  CHECK(run.out.find("HAZARD") == std::string::npos);
  CHECK(run.out.find('\x1B') == std::string::npos);
  CHECK(ovenproof::test::unfit_line(run.out) == "");
  CHECK(scratch.wrote_nothing());
}

TEST_CASE("an oven that trips exits with 1, the first-out and its time in the first line") {
  const Scratch scratch;
  const Run run = scratch.run(tripping(scratch));
  CHECK(run.status == 1);
  CHECK(line(run.out, 1).starts_with("  FAILED: tripped at 0:"));
  CHECK(line(run.out, 1).find("temperature changes faster") != std::string::npos);
  CHECK(run.out.find("(TE-1A TE-1B)") != std::string::npos);
  CHECK(run.out.find("0 of 2 cycles complete") != std::string::npos);
  CHECK(run.out.find("broken off") != std::string::npos);
  CHECK(run.out.find("soak                       -\n") != std::string::npos);
  CHECK(run.out.find("cool-down                  -\n") != std::string::npos);
  CHECK(ovenproof::test::unfit_line(run.out) == "");

  const Run json = scratch.run("--json " + tripping(scratch));
  CHECK(json.status == 1);
  const Json object = Json::parse(json.out);
  CHECK(object["all_holds"] == false);
  CHECK(object["cycles"] == 0);
  CHECK(object["first_trip"]["cause"] == "temperature_rate_implausible");
  CHECK(object["first_trip"]["tag"] == "TE-1A TE-1B");
  CHECK(object["first_trip"]["s"].get<double>() > 0.0);
  CHECK(object["stopped_early"].is_string());
  CHECK(object["figures"][0]["purge_s"].is_number());
  CHECK(object["figures"][0]["soak_s"].is_null());
  CHECK(object["figures"][0]["complete"] == false);
}

TEST_CASE("a hazard that occurs exits with 1, the hazard and its time in the first line") {
  const Scratch scratch;
  // A closet of a room without ventilation, and the exhaust in it: the open door lets in no more
  // oxygen than the room has.
  std::string text = replaced(contents(bronze), "volume: 160 m3", "volume: 12 m3");
  text = replaced(text, "air_changes: 6 1/h", "air_changes: 0 1/h");
  text = replaced(text, "  capacity: 330 L/min", "  # capacity:");  // no such room stands that
  const std::string closet = scratch.file("closet.yaml", text);
  const Run run = scratch.run("--cycles 1 " + closet);
  CHECK(run.status == 1);
  CHECK(line(run.out, 1).starts_with("  FAILED: hazard at 0:"));
  CHECK(line(run.out, 1).ends_with("oxygen in the room below 19.5 %"));
  CHECK(run.out.find("HAZARD  oxygen in the room") != std::string::npos);
  CHECK(ovenproof::test::unfit_line(run.out) == "");
  const Json object = Json::parse(scratch.run("--cycles 1 --json " + closet).out);
  CHECK(object["hazards"] == Json::array({"person_in_low_oxygen", "room_oxygen_low"}));
  CHECK(object["all_holds"] == false);
}

TEST_CASE("--attendant lets another work the oven, and says who") {
  const Scratch scratch;
  const Run late = scratch.run("--cycles 1 --attendant late " + bronze);
  CHECK(late.status == 0);
  CHECK(late.out.find("attendant: late") != std::string::npos);
  CHECK(ovenproof::test::unfit_line(late.out) == "");
  CHECK(scratch.run("--cycles 1 " + bronze).out.find("attendant:") == std::string::npos);
  const Json object = Json::parse(scratch.run("--cycles 1 --json --attendant late " + bronze).out);
  CHECK(object["attendant"] == "late");
  const Run nobody = scratch.run("--attendant nobody " + bronze);
  CHECK(nobody.status == 2);
  CHECK(nobody.err.find("no attendant of that name: nobody") != std::string::npos);
}

TEST_CASE("--json is one object with time, cycles, hazards and figures, and no wall times") {
  const Scratch scratch;
  const Run run = scratch.run("--cycles 1 --json " + bronze);
  CHECK(run.status == 0);
  CHECK(run.err.empty());
  const Json object = Json::parse(run.out);
  CHECK(object.is_object());
  CHECK(object["machine"] == "Bronze strip oven, 160 L");
  CHECK(object["simulated_s"].get<double>() > 3600.0);
  CHECK(object["cycles"] == 1);
  CHECK(object["hazards"] == Json::array());
  CHECK(object["hazards_waived"] == Json::array());
  CHECK(object["hazards_judged"].size() == judged);
  CHECK(object["all_holds"] == true);
  CHECK(object["first_trip"].is_null());
  REQUIRE(object["figures"].size() == 1);
  for (const char* key :
       {"purge_s", "oxygen_at_gate_ppm", "heat_up_s", "soak_s", "soak_above_target_K",
        "soak_below_target_K", "peak_degC", "cool_down_s", "gas_L", "energy_kWh",
        "lowest_room_oxygen", "low_oxygen_at_door_s", "oxygen_reached_into", "handled_degC"}) {
    CAPTURE(key);
    CHECK(object["figures"][0][key].is_number());
  }
  CHECK(object["caution"].is_string());
  // Nothing else, least of all when or how fast it ran.
  std::string keys;
  for (const auto& [key, value] : object.items()) keys += key + ' ';
  CHECK(
      keys ==
      "all_holds attendant caution cycles cycles_planned figures first_trip hazards hazards_judged "
      "hazards_waived machine simulated_s started_by_itself stopped_early timeline ");
}

TEST_CASE("two runs give the same bytes: text, JSON and trace") {
  const Scratch scratch;
  const std::string trace = (scratch.work() / "trace.csv").string();
  const std::string arguments = fmt::format("--cycles 1 --trace '{}' {}", trace, bronze);
  const Run first = scratch.run(arguments);
  const std::string first_trace = contents(trace);
  const Run second = scratch.run(arguments);
  CHECK(first.out == second.out);
  CHECK(first_trace == contents(trace));
  CHECK(first_trace.size() > 1'000'000);
  CHECK_FALSE(fs::exists(trace + ".part"));
  CHECK(scratch.run("--cycles 1 --json " + bronze).out ==
        scratch.run("--json --cycles 1 " + bronze).out);
}

TEST_CASE("a door opened hot is a hazard waived, with the reason, and exits with 0") {
  const Scratch scratch;
  const Run run = scratch.run("--open-door-in soak " + bronze);
  CHECK(run.status == 0);
  CHECK(line(run.out, 1).find("HOLDS: after the abnormal opening nothing was energised") !=
        std::string::npos);
  CHECK(line(run.out, 2).find("1 that the plan waives") != std::string::npos);
  CHECK(run.out.find("waived  load hot in oxygen above its limit") != std::string::npos);
  CHECK(run.out.find("no lock") != std::string::npos);
  CHECK(run.out.find("HAZARD") == std::string::npos);
  CHECK(ovenproof::test::unfit_line(run.out) == "");
  const Run json = scratch.run("--open-door-in soak --json " + bronze);
  CHECK(json.status == 0);
  const Json object = Json::parse(json.out);
  CHECK(object["hazards"] == Json::array());
  CHECK(object["hazards_waived"] == Json::array({"load_hot_in_oxygen"}));
  CHECK(object["started_by_itself"] == false);
  int with_reason = 0;
  for (const Json& judged : object["hazards_judged"]) {
    if (!judged["waived"].is_string()) continue;
    CHECK(judged["id"] == "load_hot_in_oxygen");
    CHECK(judged["avoided"] == false);
    ++with_reason;
  }
  CHECK(with_reason == 1);
}

TEST_CASE("bad machine files and commands exit with 2, and nothing is written or begun") {
  const Scratch scratch;
  const std::string trace = " --trace trace.csv";
  const std::string slow =
      scratch.file("slow.yaml", contents(bronze) + "\nscan:\n  period: 20 ms\n");
  for (const std::string& arguments :
       {bad_files + "wrong_units.yaml" + trace, bad_files + "empty.yaml" + trace,
        bad_files + "binary.yaml" + trace, "/no/such/file.yaml" + trace, "/dev/zero" + trace,
        slow + trace, bronze + trace + " --cycles 0", bronze + trace + " --cycles 1e9",
        bronze + trace + " --cycles x", bronze + trace + " --trace-every 0",
        bronze + trace + " --loading -1", bronze + trace + " --open-door-in unloading",
        bronze + trace + " --open-door-in soak --cycles 3", bronze + trace + " --nonsense",
        trace}) {
    CAPTURE(arguments);
    const Run run = scratch.run(arguments);
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK_FALSE(run.err.empty());
    CHECK(scratch.wrote_nothing());
  }
}

TEST_CASE("a trace that cannot be written exits with 2 before the run, naming the place") {
  const Scratch scratch;
  fs::create_directory(scratch.work() / "folder");
  for (const std::string path : {"no/such/folder/trace.csv", "folder", "folder/", "/proc/x.csv"}) {
    CAPTURE(path);
    const Run run = scratch.run(fmt::format("--trace {} {}", path, bronze));
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CHECK(run.err.find(path) != std::string::npos);
  }
  const auto left = std::distance(fs::directory_iterator(scratch.work()), fs::directory_iterator());
  CHECK(left == 1);
}

TEST_CASE("a trace never takes the place of the machine file") {
  const Scratch scratch;
  const std::string copy = scratch.file("machine.yaml", contents(bronze));
  const Run run = scratch.run(fmt::format("--trace '{0}' '{0}'", copy));
  CHECK(run.status == 2);
  CHECK(run.err.find("the trace would") != std::string::npos);
  CHECK(contents(copy) == contents(bronze));
}

TEST_CASE("help of the command teaches and fits") {
  const Scratch scratch;
  const Run run = scratch.run("--help");
  CHECK(run.status == 0);
  CHECK(run.out.find("Examples") != std::string::npos);
  CHECK(run.out.find("Exit status") != std::string::npos);
  CHECK(run.out.find("waived") != std::string::npos);
  CHECK(ovenproof::test::unfit_line(run.out) == "");
}
