#include <cstdint>

#include "sim/properties/engine.hpp"

namespace ovenproof::properties {

void Engine::window(NodeId id, const Node& node) {
  WindowState& w = windows_[node.slot];
  const Key f = node.flip;
  const auto now = static_cast<std::int64_t>(scan_);
  const Value& operand = values_[node.a];
  if (!w.begun) {
    w.begun = true;
    w.current = operand;
    if (node.whole) w.past.push_back({{certain ^ f, id, scan_}, now - 1});
  } else if (operand.key != w.current.key) {
    w.past.push_back({w.current, now - 1});
    w.current = operand;
  }
  if (node.op == Op::window_since) {
    const Value& hold = values_[node.b];
    while (w.past.size() >= 2 && (w.past[1].value.key ^ f) >= (hold.key ^ f)) w.past.pop_front();
    if (!w.past.empty() && (w.past.front().value.key ^ f) > (hold.key ^ f)) {
      w.past.front().value = hold;
    }
  }
  while (!w.past.empty() && (w.past.back().value.key ^ f) <= (w.current.key ^ f)) {
    w.past.pop_back();
  }
  while (!w.past.empty() && w.past.front().last + node.width < now) w.past.pop_front();
  if (!w.past.empty()) wake(id, w.past.front().last + node.width + 1);
  set(id, node, w.past.empty() ? w.current : w.past.front().value);
}

void Engine::delay(NodeId id, const Node& node) {
  DelayState& d = delays_[node.slot];
  const Value& operand = values_[node.a];
  if (!d.begun && node.delay == node.ingest && node.width > 0) {
    set(id, node, {node.values != 0 ? certain : ~certain, id, 0});
  }
  if (!d.begun || operand.key != d.newest) {
    d.queue.push_back({operand, scan_ + node.width});
    d.newest = operand.key;
    d.begun = true;
  }
  while (!d.queue.empty() && d.queue.front().due <= scan_) {
    set(id, node, d.queue.front().value);
    d.queue.pop_front();
  }
  if (!d.queue.empty()) wake(id, d.queue.front().due);
}

void Engine::until(NodeId id, const Node& node) {
  UntilState& u = untils_[node.slot];
  const Key f = node.flip;
  const auto lesser = [f](const Value& a, const Value& b) -> const Value& {
    return (b.key ^ f) < (a.key ^ f) ? b : a;
  };
  const auto joined = [&](const UntilState::Run& a, const UntilState::Run& b) {
    const Value& later = lesser(a.hold, b.goal);
    return UntilState::Run{(later.key ^ f) > (a.goal.key ^ f) ? later : a.goal,
                           lesser(a.hold, b.hold)};
  };
  const UntilState::Run now{values_[node.a], values_[node.b]};
  u.newer_sum = u.newer.empty() ? now : joined(u.newer_sum, now);
  u.newer.push_back(now);
  if (u.older.size() + u.newer.size() > std::size_t{node.width} + 1) {
    if (u.older.empty()) {
      for (; !u.newer.empty(); u.newer.pop_back()) {
        u.older.push_back(u.older.empty() ? u.newer.back()
                                          : joined(u.newer.back(), u.older.back()));
      }
    }
    u.older.pop_back();
  }
  const UntilState::Run run = u.newer.empty()   ? u.older.back()
                              : u.older.empty() ? u.newer_sum
                                                : joined(u.older.back(), u.newer_sum);
  set(id, node, run.goal);
  again_next_scan(id);
}

void Engine::clock(NodeId id, const Node& node) {
  ClockState& state = clocks_[node.slot];
  const bool truth = (values_[node.a].key ^ node.flip) >= 0;
  const auto now = static_cast<std::int64_t>(scan_);
  const std::int64_t period = program_->period_ns;
  std::int64_t margin_ns = 0;
  bool holds = false;
  bool never = false;
  if (node.op == Op::held) {
    if (!truth) state.since = -1;
    if (truth && state.since < 0) state.since = now;
    margin_ns = (truth ? (now - state.since) * period : 0) - node.limit_ns;
    holds = truth && margin_ns >= 0;
    if (truth) again_next_scan(id);
  } else {
    // A value that was true stayed so up to the scan before this one.
    if (truth || state.begun) state.since = truth ? now : now - 1;
    state.begun = truth;
    never = state.since < 0;
    margin_ns = node.limit_ns - (now - state.since) * period;
    holds = !never && margin_ns >= 0;
    if (!truth && !never) again_next_scan(id);
  }
  const Key key = never ? ~certain : make_key(static_cast<double>(margin_ns) / node.unit_ns, holds);
  set(id, node, {key ^ node.flip, id, scan_ - node.ingest});
}

}  // namespace ovenproof::properties
