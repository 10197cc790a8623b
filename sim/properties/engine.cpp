#include "sim/properties/engine.hpp"

#include <bit>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <utility>

namespace ovenproof::properties {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

struct Comparison {
  double distance;
  bool truth;
};

inline Comparison compared(Op op, double a, double b) {
  switch (op) {
    case Op::at_least:
      return {a - b, a - b >= 0.0};
    case Op::greater:
      return {a - b, a - b > 0.0};
    case Op::equal:
      return {-std::fabs(a - b), a - b == 0.0};
    default:
      return {std::fabs(a - b), std::fabs(a - b) > 0.0};
  }
}

inline Key leaf_key(const Node& node, double a, double b) {
  const auto [distance, truth] = compared(node.op, a, b);
  if (!node.graded || distance != distance) return truth ? certain : ~certain;
  return make_key(node.scaled ? distance * node.up / node.down : distance, truth);
}

}  // namespace

Engine::Engine(std::shared_ptr<const Program> program)
    : program_(std::move(program)), nodes_(program_->nodes.data()) {
  const Program& p = *program_;
  slots_ = p.slots;
  for (const NodeId id : p.watchers) watches_.push_back({infinity, -infinity, id});
  asleep_.resize(p.nodes.size());
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

bool Engine::step(const double* row) {
  if (scan_ == UINT32_MAX / 2) throw std::length_error("a run of more than 2^31 scans");
  attention_ = false;
  for (const SignalUse& use : program_->signals) {
    // One nought, so that what divides by it cannot differ.
    const double value = row[use.column] + 0.0;
    if (value != slots_[use.slot]) tell(use.slot, value, use.watchers);
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
  const Node& node = nodes_[id];
  const Key f = node.flip;
  switch (node.op) {
    case Op::at_least:
    case Op::greater:
    case Op::equal:
    case Op::unequal:
      compare(id, node);
      break;
    case Op::member:
    case Op::changed:
    case Op::constant:
      leaf(id, node);
      break;
    case Op::either:
      either(id, node);
      break;
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

/// Gives a slot its value and marks the nodes it may matter to.
inline void Engine::tell(SlotId slot, double value, Dependents watchers) {
  slots_[slot] = value;
  for (std::uint32_t i = watchers.begin; i < watchers.end; ++i) {
    const Watch& watch = watches_[i];
    if (value >= watch.low && value <= watch.high) continue;  // a value that is no number is not
    marked_[watch.node / 64] |= std::uint64_t{1} << (watch.node % 64);
  }
}

inline void Engine::watch_only(std::uint32_t watch, double low, double high) {
  if (watch == no_watch) return;
  watches_[watch].low = low;
  watches_[watch].high = high;
}

inline void Engine::watch_value(std::uint32_t watch, double value) {
  watch_only(watch, value, value);
}

inline void Engine::either(NodeId id, const Node& node) {
  const Key f = node.flip;
  const Value& a = values_[node.a];
  const Value& b = values_[node.b];
  const bool decided = (a.key ^ f) == certain;
  if (node.b_sleeps && decided != (asleep_[id] != 0)) {
    asleep_[id] = decided;
    if (decided) {
      sleep(node.b);
    } else if (scan_ < end_) {
      rouse(node.b);
    }
  }
  set(id, node, (a.key ^ f) >= (b.key ^ f) ? a : b);
}

void Engine::sleep(NodeId id) {
  const Node& node = nodes_[id];
  if (node.op == Op::either) {
    asleep_[id] = 0;
    sleep(node.a);
    sleep(node.b);
  } else {
    watch_only(node.watch_a, -infinity, infinity);
    watch_only(node.watch_b, -infinity, infinity);
  }
}

/// Brings what slept up to date.
void Engine::rouse(NodeId id) {
  const Node& node = nodes_[id];
  if (node.op == Op::either) {
    rouse(node.a);
    rouse(node.b);
  }
  evaluate(id);
}

void Engine::arithmetic(const Node& node) {
  const double a = slots_[node.a];
  const double b = slots_[node.b];
  watch_value(node.watch_a, a);
  watch_value(node.watch_b, b);
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
  tell(node.out, result + 0.0, node.watchers);
}

/// Watches for values on the other side of a fixed limit, or short of the worst so far. Keys rise
/// or fall steadily with the value, so a range is quiet if its ends are.
inline void Engine::watch_limit(const Node& node, Key key, bool first) {
  const double limit = slots_[first ? node.b : node.a];
  const double value = slots_[first ? node.a : node.b];
  const std::uint32_t watch = first ? node.watch_a : node.watch_b;
  if (node.op == Op::equal || node.op == Op::unequal) return watch_value(watch, value);
  double edge = limit;
  Key level = key < 0 ? -1 : 0;  // without grades, any key of this truth will do
  bool above = key >= 0;         // quiet towards greater keys
  if (node.graded) {
    if (node.verdict == no_node) return watch_value(watch, value);
    const Key f = nodes_[node.verdict].flip;
    level = values_[node.verdict].key;
    above = f == 0;
    if ((key ^ f) < (level ^ f)) return watch_value(watch, value);
    double distance = distance_of(level);
    if (node.scaled) distance = distance * node.down / node.up;
    edge = first ? limit + distance : limit - distance;
  }
  // Rounding may have put the edge just outside: then go a little towards the value.
  for (int tries = 0; tries < 3; ++tries) {
    const Key there = first ? leaf_key(node, edge, limit) : leaf_key(node, limit, edge);
    if (above ? there >= level : there <= level) {
      if (above == first) return watch_only(watch, edge, infinity);
      return watch_only(watch, -infinity, edge);
    }
    edge += (value - edge) / 1024.0;
  }
  watch_value(watch, value);
}

inline void Engine::compare(NodeId id, const Node& node) {
  const double a = slots_[node.a];
  const double b = slots_[node.b];
  const Key key = leaf_key(node, a, b);
  if (node.watch_b == no_watch) {
    if (node.watch_a != no_watch) watch_limit(node, key, true);
  } else if (node.watch_a == no_watch) {
    watch_limit(node, key, false);
  } else {
    watch_value(node.watch_a, a);
    watch_value(node.watch_b, b);
  }
  set(id, node, {key, id, scan_});
}

void Engine::leaf(NodeId id, const Node& node) {
  bool truth = false;
  switch (node.op) {
    case Op::member: {
      const double value = slots_[node.a];
      watch_value(node.watch_a, value);
      const bool index = value >= 0.0 && value < 64.0;
      truth = index && (node.values >> static_cast<unsigned>(value) & 1) != 0;
      break;
    }
    case Op::changed: {
      ClockState& state = clocks_[node.slot];
      const double now = slots_[node.a];
      watch_value(node.watch_a, now);
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
  set(id, node, {truth ? certain : ~certain, id, scan_});
}

}  // namespace ovenproof::properties
