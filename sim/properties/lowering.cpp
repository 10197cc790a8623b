#include "sim/properties/lowering.hpp"

#include <algorithm>
#include <utility>

namespace ovenproof::properties {
namespace {

using Kind = Condition::Kind;

/// An operator that is a maximum as it stands works on flipped keys where its dual is meant.
Key flip_for(bool maximum) { return maximum ? 0 : -1; }

Relation negated(Relation relation) {
  switch (relation) {
    case Relation::less:
      return Relation::at_least;
    case Relation::at_most:
      return Relation::greater;
    case Relation::greater:
      return Relation::at_most;
    case Relation::at_least:
      return Relation::less;
    case Relation::equal:
      return Relation::unequal;
    default:
      return Relation::equal;
  }
}

}  // namespace

NodeId Lowering::lower(ConditionId id, bool positive, Mode mode) {
  const Condition& c = (*formula_)[id];
  place_ = c.span;
  switch (c.kind) {
    case Kind::constant: {
      Node node;
      node.values = (c.values & 1) == (positive ? 1U : 0U);
      return intern(node, c.span);
    }
    case Kind::comparison:
      return comparison(c, positive, mode);
    case Kind::member:
      return member(c, positive);
    case Kind::changed: {
      Node node;
      node.op = Op::changed;
      node.a = signal_slot(c.signal);
      node.flip = flip_for(positive);
      return intern(node, c.span);
    }
    case Kind::negation:
      return lower(c.operands[0], !positive, mode);
    case Kind::conjunction:
    case Kind::disjunction: {
      const Key flip = flip_for((c.kind == Kind::disjunction) == positive);
      NodeId result = lower(c.operands[0], positive, mode);
      for (std::size_t i = 1; i < c.operands.size(); ++i) {
        const NodeId next = lower(c.operands[i], positive, mode);
        place_ = c.span;
        result = either(result, next, flip);
      }
      return result;
    }
    case Kind::implication: {
      const NodeId assumed = lower(c.operands[0], !positive, mode);
      const NodeId concluded = lower(c.operands[1], positive, mode);
      place_ = c.span;
      return either(assumed, concluded, flip_for(positive));
    }
    case Kind::always:
    case Kind::eventually: {
      const NodeId operand = lower(c.operands[0], positive, mode);
      place_ = c.span;
      Node node;
      node.op = Op::window;
      node.a = operand;
      node.width = c.to - c.from;
      node.flip = flip_for((c.kind == Kind::eventually) == positive);
      node.ingest = program_.nodes[operand].delay;
      node.delay = node.ingest + c.to;
      return intern(node, c.span);
    }
    case Kind::once:
    case Kind::historically: {
      if (c.kind == Kind::once && c.bounded && c.from == 0 && mode != nullptr &&
          mode->dimension == time_dimension) {
        return recent(c, positive, mode);
      }
      const bool maximum = (c.kind == Kind::once) == positive;
      NodeId operand = lower(c.operands[0], positive, mode);
      place_ = c.span;
      if (c.bounded) {
        if (c.from > 0) operand = past(operand, c.from, !maximum);
        return window(operand, c.to - c.from, flip_for(maximum));
      }
      Node node;
      node.op = Op::since;
      node.a = node.b = operand;
      node.whole = true;  // b is not looked at
      node.flip = flip_for(maximum);
      node.ingest = node.delay = program_.nodes[operand].delay;
      return intern(node, c.span);
    }
    case Kind::until:
      return until(c, positive, mode);
    case Kind::since:
      return since(c, positive, mode);
    case Kind::held_for:
      return held_for(c, positive, mode);
    case Kind::rises:
      return rises(c.operands[0], positive, mode);
    default:
      break;
  }
  return intern({}, c.span);  // statements never get here: the checker refused them
}

NodeId Lowering::comparison(const Condition& c, bool positive, Mode mode) {
  const Relation relation = positive ? c.relation : negated(c.relation);
  Node node;
  node.a = expression(c.left);
  node.b = expression(c.right);
  if (relation == Relation::less || relation == Relation::at_most) std::swap(node.a, node.b);
  node.op = relation == Relation::less || relation == Relation::greater       ? Op::greater
            : relation == Relation::at_most || relation == Relation::at_least ? Op::at_least
            : relation == Relation::equal                                     ? Op::equal
                                                                              : Op::unequal;
  if (mode != nullptr && mode->dimension == c.margin_unit.dimension) {
    node.graded = true;
    node.up = c.unit.numerator * mode->unit.denominator;
    node.down = c.unit.denominator * mode->unit.numerator;
    if (node.up == node.down) node.up = node.down = 1.0;
    node.scaled = node.up != node.down;
  }
  return intern(node, c.span);
}

NodeId Lowering::member(const Condition& c, bool positive) {
  Node node;
  node.op = Op::member;
  node.a = signal_slot(c.signal);
  node.values = positive ? c.values : c.all_values & ~c.values;
  node.all_values = c.all_values;
  return intern(node, c.span);
}

/// True now and false in the scan before. There is no scan before the first, so nothing rises
/// there.
NodeId Lowering::rises(ConditionId operand, bool positive, Mode mode) {
  const Span place = place_;
  const NodeId now = lower(operand, positive, mode);
  const NodeId opposite = lower(operand, !positive, mode);
  place_ = place;
  return either(now, past(opposite, 1, !positive), flip_for(!positive));
}

NodeId Lowering::window(NodeId operand, std::uint32_t width, Key flip) {
  Node node;
  node.op = Op::window;
  node.a = operand;
  node.width = width;
  node.flip = flip;
  node.ingest = node.delay = program_.nodes[operand].delay;
  return intern(node, place_);
}

/// P until [a, b] Q at t: P throughout [t, t+a), and from t+a on P until within b-a Q.
NodeId Lowering::until(const Condition& c, bool positive, Mode mode) {
  NodeId hold = lower(c.operands[0], positive, mode);
  NodeId goal = lower(c.operands[1], positive, mode);
  place_ = c.span;
  align(hold, goal);
  Node node;
  node.op = Op::until;
  node.a = goal;
  node.b = hold;
  node.width = c.to - c.from;
  node.flip = flip_for(positive);
  node.ingest = program_.nodes[goal].delay;
  node.delay = node.ingest + c.to;
  const NodeId result = intern(node, c.span);
  if (c.from == 0) return result;
  Node lead;
  lead.op = Op::window;
  lead.a = hold;
  lead.width = c.from - 1;
  lead.flip = flip_for(!positive);
  lead.ingest = program_.nodes[hold].delay;
  lead.delay = lead.ingest + lead.width;
  return either(intern(lead, c.span), result, flip_for(!positive));
}

/// P since [a, b] Q at t: P throughout (t-a, t], and at t-a P since within b-a Q.
NodeId Lowering::since(const Condition& c, bool positive, Mode mode) {
  NodeId hold = lower(c.operands[0], positive, mode);
  NodeId goal = lower(c.operands[1], positive, mode);
  place_ = c.span;
  align(hold, goal);
  Node node;
  node.op = c.bounded ? Op::window_since : Op::since;
  node.a = goal;
  node.b = hold;
  node.width = c.to - c.from;
  node.flip = flip_for(positive);
  node.ingest = node.delay = program_.nodes[goal].delay;
  NodeId result = intern(node, c.span);
  if (!c.bounded || c.from == 0) return result;
  result = past(result, c.from, !positive);
  const NodeId lead = window(hold, c.from - 1, flip_for(!positive));
  return either(lead, result, flip_for(!positive));
}

NodeId Lowering::held_for(const Condition& c, bool positive, Mode mode) {
  const bool timed = mode != nullptr && mode->dimension == time_dimension;
  const NodeId operand = lower(c.operands[0], positive, timed ? nullptr : mode);
  Node node;
  node.a = operand;
  node.ingest = node.delay = program_.nodes[operand].delay;
  if (timed) {
    node.op = Op::held;
    node.flip = flip_for(positive);
    node.limit_ns = c.to_ns;
    node.unit_ns = 1e9 * mode->unit.numerator / mode->unit.denominator;
  } else {
    node.op = Op::window;
    node.whole = true;
    node.flip = flip_for(!positive);
    node.width = c.to;
  }
  return intern(node, c.span);
}

NodeId Lowering::recent(const Condition& c, bool positive, Mode mode) {
  const NodeId operand = lower(c.operands[0], positive, nullptr);
  Node node;
  node.op = Op::recent;
  node.a = operand;
  node.ingest = node.delay = program_.nodes[operand].delay;
  node.flip = flip_for(positive);
  node.limit_ns = c.to_ns;
  node.unit_ns = 1e9 * mode->unit.numerator / mode->unit.denominator;
  return intern(node, c.span);
}

/// What carries grades comes second: of two keys that are equal the first is told of, and the
/// second may sleep meanwhile.
NodeId Lowering::either(NodeId a, NodeId b, Key flip) {
  align(a, b);
  if (program_.nodes[a].graded && !program_.nodes[b].graded) std::swap(a, b);
  Node node;
  node.graded = program_.nodes[a].graded || program_.nodes[b].graded;
  node.op = Op::either;
  node.a = a;
  node.b = b;
  node.flip = flip;
  node.ingest = node.delay = program_.nodes[a].delay;
  return intern(node, place_);
}

/// The operand `scans` ago; `before` where there was no such scan.
NodeId Lowering::past(NodeId operand, std::uint32_t scans, bool before) {
  Node node;
  node.op = Op::delay;
  node.a = operand;
  node.width = scans;
  node.values = before;
  node.ingest = node.delay = program_.nodes[operand].delay;
  return intern(node, place_);
}

/// The same value for the same scan, told later.
NodeId Lowering::aligned(NodeId operand, std::uint32_t delay) {
  const Node& given = program_.nodes[operand];
  if (given.delay == delay) return operand;
  Node node;
  if (given.op == Op::constant) {
    node = given;
    node.ingest = node.delay = delay;
    return intern(node, place_);
  }
  node.op = Op::delay;
  node.a = operand;
  node.width = delay - given.delay;
  node.ingest = given.delay;
  node.delay = delay;
  return intern(node, place_);
}

void Lowering::align(NodeId& a, NodeId& b) {
  const std::uint32_t delay = std::max(program_.nodes[a].delay, program_.nodes[b].delay);
  a = aligned(a, delay);
  b = aligned(b, delay);
}

SlotId Lowering::expression(ExpressionId id) {
  using E = Expression::Kind;
  const Expression& e = formula_->expressions[id];
  if (e.kind == E::constant) return constant_slot(e.value);
  if (e.kind == E::signal) return signal_slot(e.signal);
  Node node;
  node.a = expression(e.left);
  node.b = node.a;
  switch (e.kind) {
    case E::add:
      node.op = Op::add;
      break;
    case E::subtract:
      node.op = Op::subtract;
      break;
    case E::multiply:
      node.op = Op::multiply;
      break;
    case E::divide:
      node.op = Op::divide;
      break;
    case E::least:
      node.op = Op::least;
      break;
    case E::greatest:
      node.op = Op::greatest;
      break;
    case E::negate:
      node.op = Op::negate;
      return intern_slot(node);
    case E::absolute:
      node.op = Op::absolute;
      return intern_slot(node);
    default:
      node.op = Op::rescale;
      node.up = e.up;
      node.down = e.down;
      node.shift = e.shift;
      return intern_slot(node);
  }
  node.b = expression(e.right);
  return intern_slot(node);
}

}  // namespace ovenproof::properties
