#include <algorithm>

#include <nlohmann/json.hpp>

#include "firmware/controller/configuration.hpp"
#include "sim/evidence/sections.hpp"
#include "sim/evidence/state_chart.hpp"

namespace ovenproof::evidence {
namespace {

Json state_json(const ChartState& state) {
  Json children = Json::array();
  for (const ChartState& child : state.children) children.push_back(state_json(child));
  Json json{{"name", state.name}, {"initial", state.initial}};
  if (!children.empty()) json["children"] = std::move(children);
  return json;
}

const ChartState* find(const std::vector<ChartState>& states, const std::string& name) {
  for (const ChartState& state : states) {
    if (state.name == name) return &state;
    if (const ChartState* inside = find(state.children, name)) return inside;
  }
  return nullptr;
}

void add_leaves(const ChartState& state, std::vector<std::string>& leaves) {
  if (state.children.empty()) leaves.push_back(state.name);
  for (const ChartState& child : state.children) add_leaves(child, leaves);
}

/// The innermost state that entering this one makes active.
std::string entered(const ChartState& state) {
  for (const ChartState& child : state.children) {
    if (child.initial) return entered(child);
  }
  return state.name;
}

/// The name of a state as the chart has it: "fan run-on" there is "fan run on" here.
std::string chart_name(std::string state) {
  std::replace(state.begin(), state.end(), '-', ' ');
  return state;
}

/// What the proof's exploration says of one step between innermost states.
enum class Seen { no_such_step, not_fitted, seen, never };

class Explored {
 public:
  explicit Explored(const Findings& findings)
      : parts_(prove::parts(controller::configure(findings.machine.settings).options)) {
    if (findings.proof) idle_ = &findings.proof->proof.idle;
  }

  [[nodiscard]] bool known() const { return idle_ != nullptr; }

  [[nodiscard]] Seen step(const std::string& from, const std::string& to,
                          const std::string& guard) const {
    Seen best = Seen::no_such_step;
    for (const prove::Part& part : parts_) {
      if (part.kind != prove::PartKind::transition || !is_step(part, from, to, guard)) continue;
      if (!part.fitted) {
        if (best == Seen::no_such_step) best = Seen::not_fitted;
      } else if (known() && !is_idle(part)) {
        return Seen::seen;
      } else {
        best = Seen::never;
      }
    }
    return best;
  }

 private:
  static bool is_step(const prove::Part& part, const std::string& from, const std::string& to,
                      const std::string& guard) {
    return chart_name(part.from) == from && chart_name(part.to) == to &&
           (part.guard.empty() || part.guard == guard);
  }
  [[nodiscard]] bool is_idle(const prove::Part& part) const {
    return std::any_of(idle_->begin(), idle_->end(), [&](const prove::Part& each) {
      return each.kind == part.kind && each.index == part.index;
    });
  }

  std::vector<prove::Part> parts_;
  const std::vector<prove::Part>* idle_ = nullptr;
};

Json transition_json(const ChartTransition& row, const ChartRegion& region,
                     const Explored& explored) {
  Json json{{"from", row.from},
            {"to", row.to},
            {"event", row.event},
            {"guard", row.guard},
            {"action", row.action}};
  std::vector<std::string> sources;
  add_leaves(*find(region.states, row.from), sources);
  const std::string target = entered(*find(region.states, row.to));
  Json seen = Json::array();
  Json never = Json::array();
  bool there = false;
  for (const std::string& source : sources) {
    const Seen step = explored.step(source, target, row.guard);
    there = there || step == Seen::seen || step == Seen::never;
    if (step == Seen::seen) seen.push_back(source);
    if (step == Seen::never) never.push_back(source);
  }
  json["fitted"] = there;
  if (explored.known()) {
    json["seen_from"] = std::move(seen);
    json["never_from"] = std::move(never);
  }
  return json;
}

}  // namespace

Json chart_section(const Findings& findings) {
  const Explored explored(findings);
  Json regions = Json::array();
  for (const ChartRegion& region : state_chart()) {
    Json states = Json::array();
    for (const ChartState& state : region.states) states.push_back(state_json(state));
    Json transitions = Json::array();
    for (const ChartTransition& row : region.transitions) {
      transitions.push_back(transition_json(row, region, explored));
    }
    regions.push_back({{"name", region.name},
                       {"states", std::move(states)},
                       {"transitions", std::move(transitions)}});
  }
  return {{"explored", explored.known()}, {"regions", std::move(regions)}};
}

}  // namespace ovenproof::evidence
