#include <algorithm>
#include <filesystem>
#include <mutex>

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/app/scenario_report.hpp"

using namespace ovenproof;
using scenario::Item;

namespace {

namespace fs = std::filesystem;

/// Cases that pass and fail, of two ovens and several starts, and a machine.
std::vector<Item> mixed() {
  std::vector<Item> items;
  const auto add = [&](const std::string& text) {
    for (scenario::Case& each : test::cases_of(text)) items.emplace_back().what = std::move(each);
  };
  add("table: {phase: [soak, purging, ramp, cooling]}\nstart: in {phase} for 10 s\n"
      "steps: [{at: 1 s, estop: pressed}]\n"
      "expect: ['within 100 ms after hands.estop: not board.anything', 'never phase = ramp']\n");
  add("table: {case: [starts]}\nstart: standby\nsteps: [{at: 1 s, press: start}]\nexpect: "
      "[{reaches: purging within 2 "
      "s}]\n");
  add("table: {case: [waits]}\nstart: cold\nsteps: [{on: soak, timeout: 1 s, note: never}]\n");
  const auto oven = std::get<scenario::Case>(items.front().what).oven;
  items.push_back({scenario::MachineRun{oven, "a machine", cycle::Plan{1, 60, {}, 0, 0}}});
  return items;
}

std::vector<scenario::CaseResult> run(const std::vector<Item>& items,
                                      const scenario::SuiteOptions& options) {
  return scenario::run_suite(items, options, {});
}

std::string all_of(const std::vector<Item>& items,
                   const std::vector<scenario::CaseResult>& results) {
  return app::suite_json({items, results}) + app::suite_junit({items, results}) +
         app::suite_report({items, results}, app::Style{}) +
         app::coverage_report({items, results}, app::Style{});
}

scenario::SuiteOptions options_of(unsigned jobs, scenario::TraceFormat trace = {},
                                  const fs::path& out = {}) {
  scenario::SuiteOptions options;
  options.jobs = jobs;
  options.trace = trace;
  options.out = out;
  return options;
}

}  // namespace

TEST_CASE("Results are the same to the byte for any number of jobs, traces too") {
  const std::vector<Item> items = mixed();
  test::Folder one;
  test::Folder two;
  const auto by_one = run(items, options_of(1, scenario::TraceFormat::csv, one.path()));
  const auto by_two = run(items, options_of(2, scenario::TraceFormat::csv, two.path()));
  const auto by_seven = run(items, options_of(7));
  REQUIRE(by_one.size() == items.size());
  CHECK(all_of(items, by_one) == all_of(items, by_two));
  CHECK(all_of(items, by_one) == all_of(items, by_seven));
  std::size_t traces = 0;
  for (const auto& each : fs::directory_iterator(one.path())) {
    ++traces;
    const std::string trace = test::bytes_of(each.path());
    CHECK(trace.size() > 1000);
    CHECK(trace == test::bytes_of(two.path() / each.path().filename()));
  }
  CHECK(traces == items.size());
}

TEST_CASE("Results stand in the order of the items, whatever is ready first") {
  const std::vector<Item> items = mixed();
  const auto results = run(items, options_of(3));
  REQUIRE(results.size() == 7);
  // The soak lies far behind the purge, and stands first.
  CHECK(results[0].began_ms > results[1].began_ms);
  CHECK(results[4].passed());
  CHECK(results[5].problems.size() == 1);
  CHECK(results[6].passed());
}

TEST_CASE("A case alone comes out as among others") {
  const std::vector<Item> items = mixed();
  const auto together = run(items, options_of(2));
  for (std::size_t i = 0; i < items.size(); ++i) {
    const std::vector<Item> alone{items[i]};
    CHECK(app::suite_json({alone, run(alone, options_of(1))}) ==
          app::suite_json({alone, {together[i]}}));
  }
}

TEST_CASE("After the first failure nothing counts that stands behind it") {
  // One that passes comes first. g++ 12 warns of overflow where std::rotate swaps items.
  const std::vector<Item> all = mixed();
  std::vector<Item> items(all.begin() + 4, all.end());
  items.insert(items.end(), all.begin(), all.begin() + 4);
  scenario::SuiteOptions options = options_of(1);
  options.fail_fast = true;
  const auto by_one = run(items, options);
  REQUIRE(by_one.size() == 2);
  CHECK(by_one[0].passed());
  CHECK_FALSE(by_one[1].passed());
  options.jobs = 4;
  CHECK(app::suite_json({items, by_one}) == app::suite_json({items, run(items, options)}));
}

TEST_CASE("A case that stops at its first failure ends in that scan") {
  scenario::SuiteOptions options = options_of(1);
  options.fail_fast = true;
  std::vector<Item> one(1);
  one[0].what =
      test::cases_of("steps: [{at: 1 s, hold: stop}]\nexpect: [never hands.stop]\nuntil: 1 h\n")[0];
  CHECK(run(one, options).at(0).ended_ms == 1010);
  options.fail_fast = false;
  CHECK(run(one, options).at(0).ended_ms == 3'601'000);
}

TEST_CASE("Progress counts every case once") {
  const std::vector<Item> items = mixed();
  std::vector<std::size_t> done;
  std::size_t failed = 0;
  scenario::run_suite(items, options_of(4), [&](const scenario::SuiteProgress& p) {
    done.push_back(p.done);
    failed = p.failed;
    CHECK(p.total == items.size());
  });
  REQUIRE(done.size() == items.size());
  for (std::size_t i = 0; i < done.size(); ++i) CHECK(done[i] == i + 1);
  CHECK(failed == 2);
}

TEST_CASE("A trace that cannot be written ends the suite with its reason") {
  const std::vector<Item> items = mixed();
  CHECK_THROWS_WITH_AS(run(items, options_of(2, scenario::TraceFormat::vcd, "/no such folder")),
                       doctest::Contains("cannot write /no such folder/"), std::runtime_error);
}

TEST_CASE("Coverage tells what was exercised, and only that") {
  std::vector<Item> items;
  for (auto& each :
       test::cases_of("start: in soak for 30 s\nsteps: [{at: 1 s, estop: pressed}]\n")) {
    items.emplace_back().what = std::move(each);
  }
  const auto results = run(items, options_of(1));
  const scenario::Coverage& seen = results.at(0).coverage;
  using logic::Cause;
  using logic::Output;
  using logic::Phase;
  CHECK(seen.came(Cause::emergency_stop));
  CHECK(seen.withheld(Cause::emergency_stop, Output::k1));
  CHECK(seen.withheld(Cause::emergency_stop, Output::process_valve));
  CHECK_FALSE(seen.withheld(Cause::emergency_stop, Output::purge_valve));  // off in the soak
  CHECK_FALSE(seen.came(Cause::gas_supply_lost));
  CHECK_FALSE(seen.came(Cause::limiter_tripped));  // though its contact reads open at power-up
  CHECK(seen.visited(Phase::soak));
  CHECK_FALSE(seen.visited(Phase::cooling));
  CHECK(seen.went(Phase::soak, Phase::tripped));
  CHECK_FALSE(seen.went(Phase::ramp, Phase::soak));  // before the case began
  CHECK_FALSE(seen.went(Phase::soak, Phase::cooling));
}

scenario::Coverage coverage_of(const std::string& text) {
  std::vector<Item> items(1);
  items[0].what = test::cases_of(text)[0];
  return run(items, options_of(1)).at(0).coverage;
}

TEST_CASE("Contacts that are not yet read as closed after power-up count as no cause") {
  const scenario::Coverage seen = coverage_of("start: cold\nsteps: [{at: 1 s, press: stop}]\n");
  CHECK(seen.came(logic::Cause::power_up));
  CHECK_FALSE(seen.came(logic::Cause::emergency_stop));
  CHECK_FALSE(seen.came(logic::Cause::limiter_tripped));
  const scenario::Coverage again = coverage_of(
      "start: standby\nsteps: [{at: 1 s, power: off for 1 s}, {at: 5 s, press: stop}]\n");
  CHECK(again.came(logic::Cause::power_up));
  CHECK_FALSE(again.came(logic::Cause::emergency_stop));
}

TEST_CASE("An emergency stop that is pressed at power-up counts though the power-up tripped") {
  const scenario::Coverage seen =
      coverage_of("start: cold\nsteps: [{at: 0 s, estop: pressed}, {at: 5 s, press: stop}]\n");
  CHECK(seen.came(logic::Cause::power_up));
  CHECK(seen.came(logic::Cause::emergency_stop));
  CHECK_FALSE(seen.came(logic::Cause::limiter_tripped));
}

TEST_CASE("What happened on the way to the start of a case is not counted") {
  const scenario::Coverage seen =
      coverage_of("start: in ramp\nsteps: [{at: 1 s, estop: pressed}]\n");
  CHECK_FALSE(seen.came(logic::Cause::power_up));
  CHECK_FALSE(seen.visited(logic::Phase::purging));
  CHECK(seen.visited(logic::Phase::ramp));
  CHECK(seen.went(logic::Phase::ramp, logic::Phase::tripped));
}

TEST_CASE("What a loss of power takes away counts for no cell of the matrix") {
  std::vector<Item> items(1);
  items[0].what =
      test::cases_of("start: in soak for 30 s\nsteps: [{at: 1 s, power: off for 1 s}]\n")[0];
  const scenario::Coverage seen = run(items, options_of(1)).at(0).coverage;
  CHECK(seen.came(logic::Cause::power_up));
  CHECK_FALSE(seen.withheld(logic::Cause::power_up, logic::Output::k1));
}

TEST_CASE("A trip's cause counts though another came first") {
  std::vector<Item> items(1);
  items[0].what = test::cases_of(
      "start: standby\nsteps: [{at: 1 s, store: flip 40}, {power: off for 1 s}]\n")[0];
  const scenario::Coverage seen = run(items, options_of(1)).at(0).coverage;
  CHECK(seen.came(logic::Cause::settings_invalid));
}
