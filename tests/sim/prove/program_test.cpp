#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include <doctest/doctest.h>

#include "firmware/controller/configuration.hpp"
#include "firmware/logic/facts.hpp"
#include "program_folder.hpp"
#include "sim/prove/interlocks.hpp"
#include "sim/prove/run_formula.hpp"

/// `ovenproof prove` as users start it. What could make it long is assumed away: delays are over at
/// once, and no time limit ever is.
namespace {

namespace fs = std::filesystem;
using namespace ovenproof;

using ovenproof::test::contents;
using Run = ovenproof::test::ProgramRun;

struct Scratch : ovenproof::test::ProgramFolder {
  Scratch() : ProgramFolder("prove", "") {}
};

std::string hurried() {
  std::string text;
  for (std::size_t i = 0; i < logic::timer_count; ++i) {
    const auto timer = static_cast<logic::Timer>(i);
    const bool limit = timer == logic::Timer::purge_timeout ||
                       timer == logic::Timer::heating_timeout ||
                       timer == logic::Timer::cooling_timeout || timer == logic::Timer::arm_expiry;
    text += std::string(" --assume ") + logic::name_of(logic::fact_of(timer)) +
            (limit ? "=false" : "=true");
  }
  return text + " ";
}

const std::string machine = std::string(SOURCE_DIR) + "/scenarios/machines/coil_anneal_300.yaml";

const std::string bronze = std::string(SOURCE_DIR) + "/scenarios/machines/bronze_strip_160.yaml";

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::size_t longest_line(const std::string& text) {
  std::size_t longest = 0;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    longest = std::max(longest, end - at);
    at = end + 1;
  }
  return longest;
}

}  // namespace

TEST_CASE("all interlocks are proved, the assumptions and a caution are printed, exit status 0") {
  const Scratch scratch;
  const Run whole = scratch.run("prove " + machine);
  CHECK(whole.status == 0);
  CHECK_FALSE(contains(whole.out, "VACUOUS"));
  CHECK_FALSE(contains(whole.out, "DEAD"));
  CHECK(longest_line(whole.out) <= 80);
  const Run run =
      scratch.run("prove --property REQ-HEAT-01 --assume purge_timeout_elapsed=false " + machine);
  CHECK(run.status == 0);
  CHECK(contains(run.out, "PROVED  REQ-HEAT-01"));
  CHECK_FALSE(contains(run.out, "REFUTED"));
  CHECK(contains(run.out, "door_closed and door_open are never true in one scan"));
  CHECK(contains(run.out, "purge_timeout_elapsed is always false"));
  CHECK(contains(run.out, "comes to rest in standby"));
  CHECK(contains(run.out, "never replaces it"));
  CHECK(longest_line(run.out) <= 80);
}

TEST_CASE("one thread and three print the same bytes, as text and as JSON") {
  const Scratch scratch;
  for (const char* json : {"", " --json"}) {
    const Run one = scratch.run("prove --jobs 1 " + machine + json);
    const Run three = scratch.run("prove --jobs 3 " + machine + json);
    CHECK(one.status == 0);
    CHECK(one.out == three.out);
    CHECK_FALSE(one.out.empty());
  }
}

TEST_CASE(
    "every machine that can be ordered, a machine a thread: in the same order, the same bytes") {
  const Scratch scratch;
  const std::string all = "prove --all-options --property REQ-TRIP-01 --json" + hurried();
  const Run one = scratch.run(all + "--jobs 1");
  const Run four = scratch.run(all + "--jobs 4");
  CHECK(one.status == 0);
  CHECK(contains(one.out, "\"max_repurges\": 3"));
  CHECK(one.out == four.out);
}

TEST_CASE("a false claim is refuted with a table, and its scenario fails when it is run") {
  const Scratch scratch;
  const Run run =
      scratch.run("prove --out refuted --formula 'never rises(command.k1)' " + hurried() + machine);
  CHECK(run.status == 1);
  CHECK(contains(run.out, "REFUTED FORMULA-1"));
  CHECK(contains(run.out, "reset_pressed"));
  CHECK(contains(run.out, "k1 k2 heater_drive"));
  CHECK(longest_line(run.out) <= 80);
  REQUIRE(fs::exists(scratch.work() / "refuted" / "refuted_FORMULA-1.yaml"));

  const Run replay = scratch.run("run refuted/refuted_FORMULA-1.yaml");
  CHECK(replay.status == 1);
  CHECK(contains(replay.out, "violated"));
  CHECK(contains(replay.out, "never rises(command.k1)"));
}

TEST_CASE("the scenario of a counterexample passes where what it speaks of no longer comes about") {
  const Scratch scratch;
  REQUIRE(
      scratch.run("prove --out refuted --formula 'never rises(command.k1)' " + hurried() + machine)
          .status == 1);
  const fs::path file = scratch.work() / "refuted" / "refuted_FORMULA-1.yaml";
  std::string text = contents(file);
  const std::string claim = "never rises(command.k1)";
  REQUIRE(contains(text, claim));
  // As if the logic had been mended: the same steps, and nothing of this in them.
  text.replace(text.rfind(claim), claim.size(), "always (phase = flushing implies command.fan)");
  std::ofstream(file) << text;
  CHECK(scratch.run("run refuted/refuted_FORMULA-1.yaml").status == 0);
}

TEST_CASE("a counterexample that begins with a reset of a hot oven is played on a hot oven") {
  const Scratch scratch;
  const std::string claim = " --formula 'never (phase = standby and command.process_valve)' ";
  REQUIRE(
      scratch.run("prove --out refuted --first-violation" + claim + hurried() + bronze).status ==
      1);
  const fs::path file = scratch.work() / "refuted" / "refuted_FORMULA-1.yaml";
  CHECK(contains(contents(file), "start: in soak\n"));
  const Run replay = scratch.run("run refuted/refuted_FORMULA-1.yaml");
  CHECK(contains(replay.out, "violated"));
  CHECK_FALSE(contains(replay.out, "was never due"));
}

TEST_CASE("in the run of a hot oven the claim is judged from power-up on") {
  const Scratch scratch;
  // Heat of the soak before the dip would violate it.
  const std::string claim =
      " --formula 'never (command.k1 or (phase = standby and command.process_valve))' ";
  REQUIRE(
      scratch.run("prove --out refuted --first-violation" + claim + hurried() + bronze).status ==
      1);
  const fs::path file = scratch.work() / "refuted" / "refuted_FORMULA-1.yaml";
  std::string text = contents(file);
  const std::string gas = "(phase = standby and command.process_valve)";
  REQUIRE(contains(text, gas));
  text.replace(text.rfind(gas), gas.size(), "command.k2");
  std::ofstream(file) << text;
  CHECK(scratch.run("run refuted/refuted_FORMULA-1.yaml").status == 0);
}

TEST_CASE("with --first-violation the counterexample is the same and the search ends sooner") {
  const Scratch scratch;
  const std::string claims =
      " --formula 'never rises(command.fan)' --formula 'never rises(command.k1)' ";
  const Run whole = scratch.run("prove --json --out whole" + claims + hurried() + machine);
  const Run first =
      scratch.run("prove --json --out first --first-violation" + claims + hurried() + machine);
  CHECK(whole.status == 1);
  CHECK(first.status == 1);
  CHECK(contains(whole.out, "\"complete\": true"));
  CHECK(contains(first.out, "\"complete\": false"));
  CHECK(contains(first.out, "\"standing\": \"open\""));
  CHECK(contents(scratch.work() / "first" / "refuted_FORMULA-1.yaml") ==
        contents(scratch.work() / "whole" / "refuted_FORMULA-1.yaml"));
  CHECK_FALSE(fs::exists(scratch.work() / "first" / "refuted_FORMULA-2.yaml"));
  CHECK(contains(scratch.run("prove --first-violation" + claims + hurried() + machine).out,
                 "PARTIAL: stopped at the first violation"));
}

TEST_CASE("what is claimed of the first scan is judged in that scan when it is run") {
  const Scratch scratch;
  const std::string claim = " --formula 'at_start not fact.settings_valid' ";
  REQUIRE(scratch.run("prove --out refuted" + claim + hurried() + machine).status == 1);
  const Run replay = scratch.run("run refuted/refuted_FORMULA-1.yaml");
  CHECK(replay.status == 1);
  CHECK(contains(replay.out, "violated"));
}

TEST_CASE("on the whole oven, from power-up to a trip, no interlock is violated") {
  const Scratch scratch;
  prove::Durations durations;  // the machine below leaves them as they are by default
  const controller::Configuration by_default = controller::configure({});
  for (std::size_t i = 0; i < logic::timer_count; ++i) {
    durations.timers[i] = by_default.timers[i].value;
  }
  std::string text =
      "shows: interlocks on the oven, whatever does not follow its output\n"
      "machine: " +
      bronze +
      "\n"
      "override:\n"
      "  programme: { segments: [{ target: 120 degC, ramp: 10 K/min, soak: 5 min }] }\n"
      "  blanket: { sweep: 0 L/min }\n"  // the monitor is to read air behind the closed door
      "table:\n"
      "  - { phase: purging, fault: purge_flow stuck_at 0 }\n"
      "  - { phase: purging, fault: [k1_open stuck_at 1, k2_open stuck_at 1] }\n"
      "  - { phase: ramp, fault: [process_flow stuck_at 0, fan_running stuck_at 0] }\n"
      "  - { phase: soak, fault: [estop_healthy stuck_at 0, gas_supply_ok stuck_at 0] }\n"
      "  - { phase: cooling, fault: [damper_open stuck_at 0, blower_running stuck_at 0] }\n"
      "start: warm_monitor\n"
      "steps:\n"
      "  - { at: 20 s, press: reset }\n"
      "  - { at: 200 s, press: start }\n"
      "  - { on: \"{phase}\", fault: \"{fault}\", timeout: 5 h }\n"
      "until: 20 min\nexpect:\n  - name: tripped\n    property: eventually first_out != none\n";
  for (const prove::Interlock& each : prove::interlocks({true, true, true, 1})) {
    if (!each.applies || contains(each.text, "answer.")) continue;  // of which a run has no signal
    text += "  - name: " + each.id + "\n    property: \"" +
            prove::formula_of_run(each, {true, true, true, 1}, durations).text +
            "\"\n    may_be_vacuous: only looked at\n";
  }
  std::ofstream(scratch.work() / "interlocks.yaml") << text;
  const Run run = scratch.run("run interlocks.yaml");
  CAPTURE(run.out);
  CHECK(run.status == 0);
  CHECK(contains(run.out, "9 passed"));
}

TEST_CASE("a claim whose premise never comes about is vacuous, not proved, exit status 1") {
  const Scratch scratch;
  const Run run = scratch.run("prove --formula 'always (phase = flushing implies command.fan)' " +
                              hurried() + machine);
  CHECK(run.status == 1);
  CHECK(contains(run.out, "VACUOUS FORMULA-1"));
}

TEST_CASE("what says how long an output stays on is vacuous on an oven that never starts") {
  const Scratch scratch;
  std::string wanted;
  const std::vector<std::string> ids{"REQ-TRIP-09", "REQ-TRIP-10", "REQ-TRIP-11", "REQ-TRIP-12",
                                     "REQ-TRIP-13", "REQ-TRIP-16", "REQ-TRIP-21"};
  for (const std::string& id : ids) wanted += " --property " + id;
  const Run run = scratch.run("prove --assume door_closed=false" + wanted + " " + machine);
  CHECK(run.status == 1);
  CAPTURE(run.out);
  for (const std::string& id : ids) {
    CAPTURE(id);
    CHECK(contains(run.out, "VACUOUS " + id));
  }
}

TEST_CASE("what is wrong with the command is told with its place and the nearest name, status 2") {
  const Scratch scratch;
  const auto wrong = [&](const std::string& arguments, const std::string& message) {
    CAPTURE(arguments);
    const Run run = scratch.run("prove " + arguments);
    CHECK(run.status == 2);
    CHECK(run.out.empty());
    CAPTURE(run.err);
    CHECK(contains(run.err, message));
  };
  wrong(machine + " --property REQ-HEAT-1", "REQ-HEAT-01?");
  wrong(machine + " --formula 'never command.fna'", "1:7");
  wrong(machine + " --formula 'never command.fna'", "command.fan");
  wrong(machine + " --formula 'eventually command.fan'", "expected `always`, `never` or");
  wrong(machine + " --formula 'always (armed for at least 1 s)'", "no time");
  wrong(machine + " --assume dor_closed=true", "did you mean door_closed?");
  wrong(machine + " --assume door_closed=1", "expected FACT=true or FACT=false");
  wrong(machine + " --assume door_closed=true --assume door_open=true", "never true in one scan");
  wrong("", "expected a MACHINE or --all-options");
  wrong("nowhere.yaml", "nowhere.yaml");
}

TEST_CASE("the list names every interlock of the document of requirements, and that lists all") {
  const Scratch scratch;
  const Run run = scratch.run("prove --list");
  CHECK(run.status == 0);
  const std::string document = contents(std::string(SOURCE_DIR) + "/docs/requirements.md");
  std::size_t listed = 0;
  for (std::size_t at = run.out.find("REQ-"); at != std::string::npos;
       at = run.out.find("REQ-", at + 1)) {
    const std::string id = run.out.substr(at, run.out.find(' ', at) - at);
    CAPTURE(id);
    CHECK((contains(document, "| " + id + " | R-") || contains(document, "| " + id + " | |")));
    ++listed;
  }
  std::size_t documented = 0;
  for (std::size_t at = document.find("\n| REQ-"); at != std::string::npos;
       at = document.find("\n| REQ-", at + 1)) {
    const std::string row = document.substr(at, 40);
    documented += contains(row, " | R-") || contains(row, " | |") ? 1 : 0;
  }
  CHECK(listed > 40);
  CHECK(documented == listed);
}
