#include "sim/evidence/state_chart.hpp"

#include <algorithm>
#include <set>
#include <string>

#include <doctest/doctest.h>

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

}  // namespace
}  // namespace ovenproof::evidence
