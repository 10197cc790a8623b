#include "sim/properties/engine.hpp"

#include <bit>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace ovenproof::properties {

Engine::Engine(std::shared_ptr<const Program> program) : program_(std::move(program)) {
  const Program& p = *program_;
  slots_ = p.slots;
  values_.resize(p.nodes.size());
  marked_.resize((p.nodes.size() + 63) / 64);
  next_marked_.resize(marked_.size());
  wake_at_.resize(p.nodes.size(), UINT32_MAX);
  windows_.resize(p.windows);
  delays_.resize(p.delays);
  untils_.resize(p.untils);
  clocks_.resize(p.clocks);
  for (NodeId id = 0; id < p.nodes.size(); ++id) {
    const Node& node = p.nodes[id];
    // Nothing seen: the least of nothing is certain, the best of nothing is not. Other nodes begin
    // below every key, so that their first value always counts as new.
    const bool least = node.op == Op::worst || node.op == Op::respond;
    const bool best = node.op == Op::until_end;
    values_[id] = {(least ? certain : best ? ~certain : INT64_MIN) ^ node.flip, id, 0};
    if (node.op == Op::until_end) clocks_[node.slot].second = {certain ^ node.flip, id, 0};
    if (node.op == Op::window || node.op == Op::window_since || node.op == Op::delay ||
        node.op == Op::respond) {
      sleepers_.push_back(id);
    }
  }
}

inline void Engine::mark(Dependents dependents) {
  const Mark* const marks = program_->marks.data();
  for (std::uint32_t i = dependents.begin; i < dependents.end; ++i) {
    marked_[marks[i].word] |= marks[i].bits;
  }
}

inline void Engine::again_next_scan(NodeId id) {
  next_marked_[id / 64] |= std::uint64_t{1} << (id % 64);
}

/// Takes over the value if its key is new. Before its time a node keeps its value to itself.
inline void Engine::set(NodeId id, const Node& node, const Value& value) {
  if (values_[id].key == value.key) return;
  values_[id] = value;
  if (scan_ >= node.delay) mark(node.dependents);
}

bool Engine::step(const double* row) {
  if (scan_ == UINT32_MAX / 2) throw std::length_error("a run of more than 2^31 scans");
  attention_ = false;
  for (const SignalUse& use : program_->signals) {
    const double value = row[use.column];
    if (std::bit_cast<std::uint64_t>(value) == std::bit_cast<std::uint64_t>(slots_[use.slot])) {
      continue;
    }
    slots_[use.slot] = value;
    mark(use.dependents);
  }
  run_marked();
  return attention_;
}

void Engine::run_out(Key bound) {
  end_ = scan_;
  const Program& p = *program_;
  for (NodeId id = 0; id < p.nodes.size(); ++id) {
    const Node& node = p.nodes[id];
    if (!is_arithmetic(node.op) && (!is_leaf(node.op) || node.op == Op::constant)) continue;
    next_marked_[id / 64] &= ~(std::uint64_t{1} << (id % 64));
    if (is_leaf(node.op)) set(id, node, {bound, id, scan_});
  }
  for (std::uint32_t i = 0; i < p.greatest_delay; ++i) run_marked();
}

void Engine::run_marked() {
  const Program& p = *program_;
  for (std::size_t w = 0; w < marked_.size(); ++w) {
    marked_[w] |= std::exchange(next_marked_[w], 0);
  }
  while (next_activation_ < p.activations.size() &&
         p.activations[next_activation_].first <= scan_) {
    const NodeId id = p.activations[next_activation_++].second;
    // A run that ended before its leaves were ever read leaves them as they were set.
    if (scan_ >= end_ && (is_arithmetic(p.nodes[id].op) || is_leaf(p.nodes[id].op)) &&
        p.nodes[id].op != Op::constant) {
      continue;
    }
    marked_[id / 64] |= std::uint64_t{1} << (id % 64);
  }
  if (scan_ >= next_wake_) {
    next_wake_ = UINT32_MAX;
    for (const NodeId id : sleepers_) {
      if (wake_at_[id] <= scan_) {
        wake_at_[id] = UINT32_MAX;
        marked_[id / 64] |= std::uint64_t{1} << (id % 64);
      }
      next_wake_ = std::min(next_wake_, wake_at_[id]);
    }
  }
  for (std::size_t w = 0; w < marked_.size(); ++w) {
    while (marked_[w] != 0) {  // evaluating marks nodes behind, never before
      const auto bit = static_cast<NodeId>(std::countr_zero(marked_[w]));
      marked_[w] &= marked_[w] - 1;
      evaluate(static_cast<NodeId>(w * 64) + bit);
    }
  }
  ++scan_;
}

void Engine::evaluate(NodeId id) {
  const Node& node = program_->nodes[id];
  const Key f = node.flip;
  switch (node.op) {
    case Op::at_least:
    case Op::greater:
    case Op::equal:
    case Op::unequal:
    case Op::member:
    case Op::changed:
    case Op::constant:
      leaf(id, node);
      break;
    case Op::either: {
      const Value& a = values_[node.a];
      const Value& b = values_[node.b];
      set(id, node, (a.key ^ f) >= (b.key ^ f) ? a : b);
      break;
    }
    case Op::delay:
      delay(id, node);
      break;
    case Op::window:
    case Op::window_since:
      window(id, node);
      break;
    case Op::since: {
      Value held = values_[id];
      if (!node.whole && (values_[node.b].key ^ f) < (held.key ^ f)) held = values_[node.b];
      const Value& now = values_[node.a];
      set(id, node, (now.key ^ f) > (held.key ^ f) ? now : held);
      break;
    }
    case Op::until:
      until(id, node);
      break;
    case Op::held:
    case Op::recent:
      clock(id, node);
      break;
    case Op::worst:
    case Op::until_end:
    case Op::at_start:
    case Op::at_end:
    case Op::stretch:
    case Op::respond:
      verdict(id, node);
      break;
    default:
      arithmetic(node);
      break;
  }
}

void Engine::arithmetic(const Node& node) {
  const double a = slots_[node.a];
  const double b = slots_[node.b];
  double result = 0.0;
  switch (node.op) {
    case Op::add:
      result = a + b;
      break;
    case Op::subtract:
      result = a - b;
      break;
    case Op::multiply:
      result = a * b;
      break;
    case Op::divide:
      result = a / b;
      break;
    case Op::negate:
      result = -a;
      break;
    case Op::absolute:
      result = std::fabs(a);
      break;
    // A value that is no number must not vanish behind one that is.
    case Op::least:
      result = b < a || b != b ? b : a;
      break;
    case Op::greatest:
      result = b > a || b != b ? b : a;
      break;
    default:
      result = a * node.up / node.down + node.shift;
      break;
  }
  if (std::bit_cast<std::uint64_t>(result) == std::bit_cast<std::uint64_t>(slots_[node.out])) {
    return;
  }
  slots_[node.out] = result;
  mark(node.dependents);
}

void Engine::leaf(NodeId id, const Node& node) {
  bool truth = false;
  double distance = 0.0;
  switch (node.op) {
    case Op::at_least:
      distance = slots_[node.a] - slots_[node.b];
      truth = distance >= 0.0;
      break;
    case Op::greater:
      distance = slots_[node.a] - slots_[node.b];
      truth = distance > 0.0;
      break;
    case Op::equal:
      distance = -std::fabs(slots_[node.a] - slots_[node.b]);
      truth = distance == 0.0;
      break;
    case Op::unequal:
      distance = std::fabs(slots_[node.a] - slots_[node.b]);
      truth = distance > 0.0;
      break;
    case Op::member: {
      const double value = slots_[node.a];
      const bool index = value >= 0.0 && value < 64.0;
      truth = index && (node.values >> static_cast<unsigned>(value) & 1) != 0;
      break;
    }
    case Op::changed: {
      ClockState& state = clocks_[node.slot];
      const double now = slots_[node.a];
      const bool changed =
          state.begun && now != state.previous && (now == now || state.previous == state.previous);
      state.previous = now;
      state.begun = true;
      if (changed) again_next_scan(id);
      truth = changed == (node.flip == 0);
      break;
    }
    default:
      truth = node.values != 0;
      break;
  }
  const bool number = distance == distance;
  const Key key = !node.graded || !number ? (truth ? certain : ~certain)
                                          : make_key(distance * node.up / node.down, truth);
  set(id, node, {key, id, scan_});
}

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
