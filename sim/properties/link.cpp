#include <algorithm>

#include "sim/properties/lowering.hpp"

namespace ovenproof::properties {
namespace {

bool reads_slots(Op op) { return is_arithmetic(op) || (is_leaf(op) && op != Op::constant); }

bool is_binary(const Node& node) {
  switch (node.op) {
    case Op::add:
    case Op::subtract:
    case Op::multiply:
    case Op::divide:
    case Op::least:
    case Op::greatest:
    case Op::at_least:
    case Op::greater:
    case Op::equal:
    case Op::unequal:
    case Op::either:
    case Op::window_since:
    case Op::until:
    case Op::until_end:
    case Op::respond:
      return true;
    case Op::since:
      return !node.whole;
    default:
      return false;
  }
}

/// A verdict, or an operator that asks more of its operand than which of two is greater.
bool ends_lattice(Op op) { return op >= Op::held; }

bool is_comparison(Op op) { return op >= Op::at_least && op <= Op::unequal; }

}  // namespace

void Lowering::link() {
  Lists of_node(program_.nodes.size());
  Lists of_slot(program_.slots.size());
  for (NodeId id = 0; id < program_.nodes.size(); ++id) {
    const Node& node = program_.nodes[id];
    program_.activations.emplace_back(node.ingest, id);
    if (node.op == Op::constant) continue;
    Lists& table = reads_slots(node.op) ? of_slot : of_node;
    table[node.a].push_back(id);
    if (is_binary(node) && node.b != node.a) table[node.b].push_back(id);
  }
  for (NodeId id = 0; id < program_.nodes.size(); ++id) {
    Node& node = program_.nodes[id];
    if (is_arithmetic(node.op)) {
      node.watchers = write_watchers(node.out, of_slot[node.out]);
    } else {
      node.dependents = write_marks(of_node[id]);
    }
  }
  for (SignalUse& use : program_.signals) {
    use.watchers = write_watchers(use.slot, of_slot[use.slot]);
  }
  find_only_verdicts(of_node);
  find_sleepers(of_node);
  std::stable_sort(program_.activations.begin(), program_.activations.end(),
                   [](const auto& x, const auto& y) { return x.first < y.first; });
}

Dependents Lowering::write_marks(const std::vector<NodeId>& nodes) {
  Dependents result{static_cast<std::uint32_t>(program_.marks.size()), 0};
  for (const NodeId id : nodes) {  // ascending, so equal words are neighbours
    const std::uint64_t bit = std::uint64_t{1} << (id % 64);
    if (program_.marks.size() > result.begin && program_.marks.back().word == id / 64) {
      program_.marks.back().bits |= bit;
    } else {
      program_.marks.push_back({id / 64, bit});
    }
  }
  result.end = static_cast<std::uint32_t>(program_.marks.size());
  return result;
}

Dependents Lowering::write_watchers(SlotId slot, const std::vector<NodeId>& nodes) {
  Dependents result{static_cast<std::uint32_t>(program_.watchers.size()), 0};
  for (const NodeId id : nodes) {
    Node& node = program_.nodes[id];
    const auto watch = static_cast<std::uint32_t>(program_.watchers.size());
    if (node.a == slot) node.watch_a = watch;
    if (is_binary(node) && node.b == slot) node.watch_b = watch;
    program_.watchers.push_back(id);
  }
  result.end = static_cast<std::uint32_t>(program_.watchers.size());
  return result;
}

/// Minimum and maximum distribute over each other, so what lies on the far side of a running worst
/// can be cut off there before it goes in: min(w, f(x)) = f(min(w, x)) for every f made of them. A
/// leaf that feeds one such verdict only need not be heard while it stays on that side.
void Lowering::find_only_verdicts(const Lists& dependents) {
  constexpr NodeId several = no_node - 1;
  std::vector<NodeId> reached(program_.nodes.size(), no_node);
  for (NodeId id = static_cast<NodeId>(program_.nodes.size()); id-- > 0;) {
    Node& node = program_.nodes[id];
    if (is_arithmetic(node.op)) continue;
    if (ends_lattice(node.op)) {
      reached[id] = node.op == Op::worst ? id : several;
      continue;
    }
    for (const NodeId next : dependents[id]) {
      const bool same = reached[id] == no_node || reached[id] == reached[next];
      reached[id] = same ? reached[next] : several;
    }
    if (is_leaf(node.op) && node.graded && reached[id] != several) node.verdict = reached[id];
  }
}

/// An operand made of leaves that nothing else depends on can sleep while the other operand of an
/// `either` is certain.
void Lowering::find_sleepers(const Lists& dependents) {
  std::vector<bool> can_sleep(program_.nodes.size(), false);
  for (NodeId id = 0; id < program_.nodes.size(); ++id) {
    Node& node = program_.nodes[id];
    const bool alone = dependents[id].size() == 1;
    if (is_comparison(node.op) || node.op == Op::member) can_sleep[id] = alone;
    if (node.op != Op::either || node.a == node.b) continue;
    can_sleep[id] = alone && can_sleep[node.a] && can_sleep[node.b];
    node.b_sleeps = can_sleep[node.b];
  }
}

}  // namespace ovenproof::properties
