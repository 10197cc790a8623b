#include "sim/campaign/scenario_text.hpp"

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/scenario/oven_bank.hpp"
#include "sim/scenario/play.hpp"
#include "sim/scenario/read.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

namespace {

/// Plays the text on the quick oven.
scenario::CaseResult played(std::string text) {
  const std::size_t steps = text.find("steps:");
  text.insert(steps,
              "override:\n"
              "  programme: {segments: [{target: 120 degC, ramp: 10 K/min, soak: 5 min}]}\n");
  scenario::OvenBank bank;
  const scenario::Read read =
      scenario::read_text(text, SOURCE_DIR "/scenarios/cases/row.yaml", bank);
  const auto* errors = std::get_if<std::vector<machine::Error>>(&read);
  REQUIRE_MESSAGE(errors == nullptr, to_text(errors->front()), "\n", text);
  const scenario::Case& one = std::get<std::vector<scenario::Case>>(read).front();
  scenario::CaseResult result;
  scenario::reach(*one.oven, {one.start}, [&](std::size_t, const scenario::Checkpoint& there) {
    result = scenario::play(one, there, false, {});
  });
  return result;
}

}  // namespace

TEST_CASE("a row written as a scenario plays to the same outcome") {
  const Campaign& campaign = test::quick_campaign();
  const std::vector<std::uint64_t> numbers{
      test::injection_of(campaign, "Q1.welded", "1.soak"),
      test::injection_of(campaign, "exhaust.blocked", "1."),
      test::injection_of(campaign, "controller.power_dip", "1.purging"),
      test::injection_of(campaign, "HS-1.open", "1.")};
  for (const std::uint64_t number : numbers) {
    const Result result = run_injection(campaign, number);
    CAPTURE(campaign.plan().modes[campaign.plan().injections[number].mode].id);
    const scenario::CaseResult again =
        played(scenario_of(campaign, number, "../machines/bronze_strip_160.yaml"));
    CHECK(again.problems.empty());
    for (const scenario::ExpectationVerdict& each : again.expectations) {
      CHECK_MESSAGE(each.met, each.happened);
    }
    std::vector<std::size_t> hit;
    for (std::size_t i = 0; i < again.hazards.size(); ++i) {
      if (!again.hazards[i].verdict.avoided) hit.push_back(i);
    }
    std::vector<std::size_t> expected;
    for (const HazardHit& each : result.hazards) expected.push_back(each.hazard);
    CHECK(hit == expected);
  }
}

TEST_CASE("a row that the machine file accepts waives its hazards, with the reason, and passes") {
  const Campaign& campaign = test::quick_campaign();
  const Plan& plan = campaign.plan();
  std::size_t accepted = 0;
  for (std::uint64_t n = 0; n < plan.singles && accepted < 2; ++n) {
    if (plan.modes[plan.injections[n].mode].accepted_reason.empty()) continue;
    const Result result = run_injection(campaign, n);
    if (result.outcome != Outcome::hazardous) continue;
    ++accepted;
    const std::string text = scenario_of(campaign, n, "../machines/bronze_strip_160.yaml");
    CHECK(text.find("waive:") != std::string::npos);
    CHECK(text.find("accepted in the machine file: ") != std::string::npos);
    const scenario::CaseResult again = played(text);
    CHECK(again.passed());
  }
  CHECK(accepted > 0);
}
