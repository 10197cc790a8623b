#include "sim/app/run_report.hpp"

#include <algorithm>
#include <cstdint>
#include <string>

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include "terminal_text.hpp"

using namespace ovenproof;
using app::Style;
using cycle::RunResult;

namespace {

hazards::HazardVerdict avoided(const char* id) {
  hazards::HazardVerdict verdict;
  verdict.id = id;
  verdict.title = std::string("the title of ") + id;
  verdict.avoided = true;
  verdict.margin = "1.5 K";
  return verdict;
}

cycle::Figures whole_cycle() {
  cycle::Figures figures;
  figures.purge_s = 700.0;
  figures.oxygen_at_gate_ppm = 80.0;
  figures.heat_up_s = 4000.0;
  figures.soak_s = 2700.0;
  figures.soak_high_K = 1.5;
  figures.soak_low_K = 0.5;
  figures.oxygen_in_soak_ppm = 30.0;
  figures.cool_down_s = 3000.0;
  figures.complete = true;
  return figures;
}

RunResult sound(std::uint32_t cycles) {
  RunResult result;
  result.simulated_s = 36'000.0;
  result.cycles_planned = cycles;
  result.cycles_completed = cycles;
  result.cycles.assign(cycles, whole_cycle());
  result.hazards = {avoided("first"), avoided("second")};
  return result;
}

std::string report(const RunResult& result, const std::string& name = "Oven") {
  machine::Machine machine;
  machine.name = name;
  return app::run_report(machine, result, Style());
}

std::string line(const std::string& text, int number) {
  std::size_t at = 0;
  for (int i = 0; i < number; ++i) at = text.find('\n', at) + 1;
  return text.substr(at, text.find('\n', at) - at);
}

}  // namespace

TEST_CASE("the verdict is the first line after the name") {
  CHECK(line(report(sound(2)), 1) == "  HOLDS: 2 of 2 cycles complete");
  CHECK(line(report(sound(2)), 2) == "  0 of 2 hazards occurred, 10.00 h simulated");

  RunResult tripped = sound(2);
  tripped.cycles_completed = 1;
  tripped.gave_up = "the oven tripped: emergency stop";
  tripped.first_trip = cycle::Trip{3'723'450, logic::Cause::emergency_stop};
  CHECK(line(report(tripped), 1) == "  FAILED: tripped at 1:02:03.45, emergency stop (HSS-1)");
  CHECK(line(report(tripped), 2) == "  1 of 2 cycles complete");
}

TEST_CASE("of a hazard and a trip the one that came first is told first") {
  RunResult result = sound(1);
  result.gave_up = "the oven tripped: emergency stop";
  result.first_trip = cycle::Trip{60'000, logic::Cause::emergency_stop};
  result.hazards[1].avoided = false;
  result.hazards[1].first_ms = 30'000;
  CHECK(line(report(result), 1) == "  FAILED: hazard at 0:00:30.00, the title of second");
  CHECK(line(report(result), 2) == "  also: tripped at 0:01:00.00, emergency stop (HSS-1)");
  result.hazards[1].first_ms = 90'000;
  CHECK(line(report(result), 1) == "  FAILED: tripped at 0:01:00.00, emergency stop (HSS-1)");
  CHECK(line(report(result), 2) == "  also: hazard at 0:01:30.00, the title of second");
}

TEST_CASE("an attendant who gives up without a trip is quoted") {
  RunResult result = sound(1);
  result.cycles_completed = 0;
  result.cycles.clear();
  result.gave_up = "the oxygen reading did not become valid";
  const std::string text = report(result);
  CHECK(line(text, 1) == "  FAILED: the oxygen reading did not become valid");
  CHECK(line(text, 2) == "  0 of 1 cycle complete");
  CHECK(text.find("Key figures") == std::string::npos);
}

TEST_CASE("what starts by itself after an abnormal opening fails, the planned trip does not") {
  RunResult result = sound(0);
  result.started_by_itself = false;
  result.door_opened_ms = 10'000;
  result.first_trip = cycle::Trip{10'040, logic::Cause::door_opened_in_cycle};
  CHECK(line(report(result), 1) ==
        "  HOLDS: after the abnormal opening nothing was energised by itself");
  result.started_by_itself = true;
  CHECK(line(report(result), 1) ==
        "  FAILED: something was energised by itself after the abnormal opening");
}

TEST_CASE("a waived hazard is told as waived, once with its reason, and does not fail") {
  RunResult result = sound(0);
  result.started_by_itself = false;
  result.waiver = cycle::Waiver{"second", "the reason of the waiver"};
  result.door_opened_ms = 1'000;
  result.hazards[1].avoided = false;
  result.hazards[1].first_ms = 2'000;
  const std::string text = report(result);
  CHECK(line(text, 1).starts_with("  HOLDS"));
  CHECK(text.find("waived  the title of second") != std::string::npos);
  CHECK(text.find("the reason of the waiver") != std::string::npos);
  CHECK(text.find("HAZARD") == std::string::npos);
  result.hazards[1].first_ms = 500;
  CHECK(report(result).find("HAZARD  the title of second") != std::string::npos);
  CHECK(report(result).find("the reason of the waiver") == std::string::npos);
}

TEST_CASE("figures of what never happened are dashes in text and null in JSON") {
  RunResult result = sound(1);
  result.cycles_completed = 0;
  result.cycles = {cycle::Figures{}};
  const std::string text = report(result);
  for (const char* name : {"purge time", "oxygen at the gate", "heat-up", "soak", "soak error, gas",
                           "highest oxygen in soak", "cool-down", "door open below 19.5 %",
                           "oxygen when reached into", "hottest load or wall then"}) {
    CAPTURE(name);
    const std::size_t at = text.find(std::string("  ") + name + " ");
    REQUIRE(at != std::string::npos);
    CHECK(text.substr(at, text.find('\n', at) - at).ends_with(" -"));
  }
  machine::Machine machine;
  const auto object = nlohmann::json::parse(app::run_json(machine, result));
  for (const char* key :
       {"purge_s", "oxygen_at_gate_ppm", "heat_up_s", "soak_s", "soak_above_target_K",
        "soak_below_target_K", "oxygen_in_soak_ppm", "cool_down_s", "low_oxygen_at_door_s",
        "oxygen_reached_into", "handled_degC"}) {
    CHECK(object["figures"][0][key].is_null());
  }
}

TEST_CASE("any number of cycles, any name and any length of run fit 80 columns") {
  for (const std::uint32_t cycles : {0U, 1U, 3U, 4U, 10U, 100U}) {
    RunResult result = sound(cycles);
    if (cycles > 1) result.cycles.back() = cycle::Figures{};
    result.events.push_back({10, cycle::EventKind::phase, "purging"});
    result.events.push_back(
        {7'200'000'000ULL, cycle::EventKind::trip,
         "TRIP AT oxygen lower than the purge so far can have made it, and on"});
    const std::string text = report(result, std::string(300, 'W') + " oven");
    CHECK(ovenproof::test::unfit_line(text) == "");
    CHECK(text.find("2000:00:00.00 trip") != std::string::npos);
    if (cycles == 10) CHECK(text.find("cycle 10") != std::string::npos);
  }
}

TEST_CASE("whatever bytes a machine's name holds, the JSON is one object") {
  machine::Machine machine;
  machine.name = "bad \xFF\xFE \"quoted\" \n";
  const std::string text = app::run_json(machine, sound(1));
  CHECK(nlohmann::json::parse(text).is_object());
  CHECK(text.ends_with("}\n"));
}
