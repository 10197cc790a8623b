#include "sim/evidence/state_chart.hpp"

#include <algorithm>
#include <set>
#include <string>

#include <doctest/doctest.h>

#include "findings.hpp"
#include "firmware/controller/configuration.hpp"
#include "firmware/logic/phase.hpp"

namespace ovenproof::evidence {
namespace {

void add_leaves(const std::vector<ChartState>& states, std::set<std::string>& names) {
  for (const ChartState& state : states) {
    if (state.children.empty()) names.insert(state.name);
    add_leaves(state.children, names);
  }
}

std::size_t initial(const std::vector<ChartState>& states) {
  return static_cast<std::size_t>(std::count_if(
      states.begin(), states.end(), [](const ChartState& state) { return state.initial; }));
}

bool has(const ChartRegion& region, const std::string& from, const std::string& to,
         const std::string& guard) {
  return std::any_of(region.transitions.begin(), region.transitions.end(),
                     [&](const ChartTransition& row) {
                       return row.from == from && row.to == to && row.guard == guard;
                     });
}

TEST_CASE("the chart's innermost states of the sequence are the firmware's phases") {
  std::set<std::string> phases;
  for (std::size_t i = 0; i < logic::phase_count; ++i) {
    phases.insert(logic::name_of(static_cast<logic::Phase>(i)));
  }
  std::set<std::string> leaves;
  add_leaves(state_chart().front().states, leaves);
  CHECK(leaves == phases);
}

TEST_CASE("the chart has four regions, each with one initial state") {
  const std::vector<ChartRegion> chart = state_chart();
  REQUIRE(chart.size() == 4);
  CHECK(chart[0].name == "sequence");
  CHECK(chart[1].name == "gas");
  CHECK(chart[2].name == "fan");
  CHECK(chart[3].name == "jacket");
  for (const ChartRegion& region : chart) {
    CAPTURE(region.name);
    CHECK(initial(region.states) == 1);
    for (const ChartState& state : region.states) {
      if (!state.children.empty()) CHECK(initial(state.children) == 1);
    }
  }
}

TEST_CASE("rows of the tables come with guard and action") {
  const ChartRegion sequence = state_chart().front();
  CHECK(has(sequence, "tripped", "standby", "reset accepted"));
  CHECK(has(sequence, "purging", "heating", "gate reached"));
  CHECK(has(sequence, "ramp", "soak", "ramp complete"));
  CHECK(has(sequence, "cycle", "tripped", ""));
  CHECK_FALSE(has(sequence, "tripped", "purging", "start accepted"));
  const auto trip = std::find_if(sequence.transitions.begin(), sequence.transitions.end(),
                                 [](const ChartTransition& row) { return row.event == "Protect"; });
  REQUIRE(trip != sequence.transitions.end());
  CHECK(trip->action == "trip");
}

TEST_CASE("both ends of every transition are states of its region") {
  for (const ChartRegion& region : state_chart()) {
    std::set<std::string> names;
    const auto add = [&names](const auto& self, const std::vector<ChartState>& states) -> void {
      for (const ChartState& state : states) {
        names.insert(state.name);
        self(self, state.children);
      }
    };
    add(add, region.states);
    for (const ChartTransition& row : region.transitions) {
      CAPTURE(row.from);
      CAPTURE(row.to);
      CHECK(names.contains(row.from));
      CHECK(names.contains(row.to));
    }
  }
}

/// From where the exploration went along the row of the sequence with this guard, in the document.
nlohmann::json seen_from(const Findings& findings, const std::string& guard) {
  const nlohmann::json chart = made(findings)["state_chart"];
  for (const auto& row : chart["regions"][0]["transitions"]) {
    if (row["guard"] == guard) return row["seen_from"];
  }
  return "no such row";
}

const prove::Part& part_named(const std::vector<prove::Part>& parts, const std::string& name) {
  const auto found = std::find_if(parts.begin(), parts.end(),
                                  [&](const prove::Part& each) { return each.name == name; });
  REQUIRE(found != parts.end());
  return *found;
}

std::vector<prove::Part> parts_of(const Findings& findings) {
  return prove::parts(controller::configure(findings.machine.settings).options);
}

TEST_CASE("rows that lead from one state to the same other are seen each for itself") {
  Findings findings = sound_findings();
  using Names = std::vector<std::string>;
  CHECK(seen_from(findings, "programme ended") == Names{"soak"});
  CHECK(seen_from(findings, "stop pressed") == Names{"ramp", "soak"});
  CHECK(seen_from(findings, "opened for unloading") == Names{"unloading"});
  CHECK(seen_from(findings, "stopped while unloading") == Names{"unloading"});
  CHECK(seen_from(findings, "stopped while purging") == Names{"purging"});

  const std::vector<prove::Part> parts = parts_of(findings);
  findings.proof->proof.idle = {part_named(parts, "unloading -> standby by stop"),
                                part_named(parts, "soak -> cooling at the end")};
  CHECK(seen_from(findings, "stopped while unloading") == Names{});
  CHECK(seen_from(findings, "opened for unloading") == Names{"unloading"});
  CHECK(seen_from(findings, "programme ended") == Names{});
  CHECK(seen_from(findings, "stop pressed") == Names{"ramp", "soak"});
}

TEST_CASE("each transition that the exploration looks for is one row of the chart from one state") {
  const Findings findings = sound_findings();
  std::size_t fitted = 0;
  for (const prove::Part& part : parts_of(findings)) {
    fitted += part.kind == prove::PartKind::transition && part.fitted ? 1U : 0U;
  }
  std::size_t seen = 0;
  const nlohmann::json chart = made(findings)["state_chart"];
  for (const auto& region : chart["regions"]) {
    for (const auto& row : region["transitions"]) seen += row["seen_from"].size();
  }
  CHECK(seen == fitted);
}

}  // namespace
}  // namespace ovenproof::evidence
