#include <algorithm>
#include <bit>
#include <iterator>

#include "sim/properties/lowering.hpp"

namespace ovenproof::properties {
namespace {

using Kind = Condition::Kind;

bool is_connective(Kind kind) {
  return kind == Kind::negation || kind == Kind::conjunction || kind == Kind::disjunction ||
         kind == Kind::implication;
}

bool timed(const MarginKind* mode) { return mode->dimension == time_dimension; }

double ns_of(const Unit& unit) { return 1e9 * unit.numerator / unit.denominator; }

}  // namespace

void Lowering::add(const Formula& formula) {
  formula_ = &formula;
  plan_ = {};
  for (const MarginKind& kind : formula.margins) {
    plan_.margins.push_back({judge(formula.root, true, &kind), kind});
  }
  note_occasions(formula.root);
  program_.properties.push_back(std::move(plan_));
}

std::uint32_t Lowering::judge(ConditionId id, bool positive, Mode mode) {
  const Condition& c = (*formula_)[id];
  Judgement judgement;
  if (c.kind == Kind::negation) return judge(c.operands[0], !positive, mode);
  if (is_connective(c.kind)) {
    const bool any = (c.kind != Kind::conjunction) == positive;
    judgement.kind = any ? Judgement::Kind::any : Judgement::Kind::all;
    for (std::size_t i = 0; i < c.operands.size(); ++i) {
      const bool assumed = c.kind == Kind::implication && i == 0;
      judgement.parts.push_back(judge(c.operands[i], positive != assumed, mode));
    }
  } else {
    judgement.node = verdict(c, positive, mode);
  }
  program_.judgements.push_back(std::move(judgement));
  return static_cast<std::uint32_t>(program_.judgements.size() - 1);
}

NodeId Lowering::verdict(const Condition& c, bool positive, Mode mode) {
  if (c.kind == Kind::after) {
    return respond(c.operands[0], true, c.operands[1], c, positive, mode);
  }
  if (is_response(*formula_, c) && timed(mode)) {
    const Condition& body = (*formula_)[c.operands[0]];
    const Condition& goal = (*formula_)[body.operands[1]];
    return respond(body.operands[0], false, goal.operands[0], goal, positive, mode);
  }
  Node node;
  const auto over = [&](NodeId operand) {
    node.a = operand;
    node.ingest = node.delay = program_.nodes[operand].delay;
    return intern(node, c.span);
  };
  const bool windowed =
      c.bounded && (c.kind == Kind::always || c.kind == Kind::eventually || c.kind == Kind::until);
  if (windowed) {
    node.op = Op::at_start;
    return over(lower(static_cast<ConditionId>(&c - formula_->conditions.data()), positive, mode));
  }
  if (c.kind == Kind::until) {
    NodeId hold = lower(c.operands[0], positive, mode);
    NodeId goal = lower(c.operands[1], positive, mode);
    align(hold, goal);
    node.op = Op::until_end;
    node.b = hold;
    node.flip = positive ? 0 : -1;
    return over(goal);
  }
  if (c.kind == Kind::at_start || c.kind == Kind::at_end) {
    node.op = c.kind == Kind::at_start ? Op::at_start : Op::at_end;
    return over(lower(c.operands[0], positive, mode));
  }
  node.flip = (c.kind == Kind::always) == positive ? 0 : -1;
  if (timed(mode) && !tells_time(*formula_, c.operands[0])) {
    node.op = Op::stretch;
    node.unit_ns = ns_of(mode->unit);
    return over(lower(c.operands[0], positive, nullptr));
  }
  node.op = Op::worst;
  return over(lower(c.operands[0], positive, mode));
}

/// Each time the event comes (each scan it is so, unless `on_edge`), the response within the bound.
NodeId Lowering::respond(ConditionId event, bool on_edge, ConditionId response,
                         const Condition& bound, bool positive, Mode mode) {
  const bool in_time = timed(mode);
  const Mode inner = in_time ? nullptr : mode;
  place_ = (*formula_)[event].span;
  NodeId no_event = on_edge ? rises(event, !positive, inner) : lower(event, !positive, inner);
  NodeId goal = lower(response, positive, inner);
  place_ = bound.span;
  Node node;
  if (in_time) {
    align(no_event, goal);
    node.op = Op::respond;
    node.a = no_event;
    node.b = goal;
    node.width = bound.to;
    node.flip = positive ? 0 : -1;
    node.limit_ns = bound.to_ns;
    node.unit_ns = ns_of(mode->unit);
  } else {
    Node in_window;
    in_window.op = Op::window;
    in_window.a = goal;
    in_window.width = bound.to;
    in_window.flip = positive ? 0 : -1;
    in_window.ingest = program_.nodes[goal].delay;
    in_window.delay = in_window.ingest + bound.to;
    node.op = Op::worst;
    node.a = either(no_event, intern(in_window, bound.span), positive ? 0 : -1);
    node.flip = positive ? 0 : -1;
  }
  node.ingest = node.delay = program_.nodes[node.a].delay;
  return intern(node, bound.span);
}

/// What must have happened at least once for the property to have said anything.
void Lowering::note_occasions(ConditionId id) {
  const Condition& c = (*formula_)[id];
  if (is_connective(c.kind)) {
    for (const ConditionId operand : c.operands) note_occasions(operand);
    return;
  }
  const bool conditional =
      c.kind == Kind::always && (*formula_)[c.operands[0]].kind == Kind::implication;
  if (c.kind != Kind::after && !conditional) return;
  Node node;
  node.op = Op::worst;
  node.flip = -1;
  place_ = c.span;
  node.a = conditional ? lower((*formula_)[c.operands[0]].operands[0], true, nullptr)
                       : rises(c.operands[0], true, nullptr);
  node.ingest = node.delay = program_.nodes[node.a].delay;
  plan_.occasions.push_back(intern(node, c.span));
}

Lowering::Identity Lowering::identity(const Node& n) {
  const auto pair = [](std::uint64_t high, std::uint64_t low) { return high << 32 | low; };
  return {pair(static_cast<std::uint64_t>(n.op), n.graded * 2U + n.whole),
          static_cast<std::uint64_t>(n.flip),
          pair(n.a, n.b),
          pair(n.width, n.out),
          pair(n.ingest, n.delay),
          n.values,
          n.all_values,
          std::bit_cast<std::uint64_t>(n.up),
          std::bit_cast<std::uint64_t>(n.down),
          std::bit_cast<std::uint64_t>(n.shift),
          static_cast<std::uint64_t>(n.limit_ns),
          std::bit_cast<std::uint64_t>(n.unit_ns)};
}

NodeId Lowering::intern(Node node, Span place) {
  const auto [found, fresh] =
      nodes_.emplace(identity(node), static_cast<NodeId>(program_.nodes.size()));
  if (fresh) {
    switch (node.op) {
      case Op::window:
      case Op::window_since:
        node.slot = program_.windows++;
        break;
      case Op::delay:
        node.slot = program_.delays++;
        break;
      case Op::until:
        node.slot = program_.untils++;
        break;
      case Op::held:
      case Op::recent:
      case Op::changed:
      case Op::worst:
      case Op::until_end:
      case Op::at_start:
      case Op::at_end:
      case Op::stretch:
      case Op::respond:
        node.slot = program_.clocks++;
        break;
      default:
        break;
    }
    program_.greatest_delay = std::max(program_.greatest_delay, node.delay);
    program_.nodes.push_back(node);
  }
  const NodeId id = found->second;
  const auto same = [&](const auto& entry) { return entry.first == id; };
  if (std::none_of(plan_.places.begin(), plan_.places.end(), same)) {
    plan_.places.emplace_back(id, place);
  }
  return id;
}

/// As `intern`, for an arithmetic node: returns the slot of its result.
SlotId Lowering::intern_slot(Node node) {
  const auto found = nodes_.find(identity(node));
  if (found != nodes_.end()) return program_.nodes[found->second].out;
  const Identity key = identity(node);
  node.out = static_cast<SlotId>(program_.slots.size());
  program_.slots.push_back(0.0);
  nodes_.emplace(key, static_cast<NodeId>(program_.nodes.size()));
  program_.nodes.push_back(node);
  return node.out;
}

SlotId Lowering::signal_slot(std::uint32_t column) {
  const auto [found, fresh] = signals_.emplace(column, static_cast<SlotId>(program_.slots.size()));
  if (fresh) {
    program_.slots.push_back(0.0);
    program_.signals.push_back({column, found->second, {}});
  }
  return found->second;
}

SlotId Lowering::constant_slot(double value) {
  const auto [found, fresh] = constants_.emplace(std::bit_cast<std::uint64_t>(value),
                                                 static_cast<SlotId>(program_.slots.size()));
  if (fresh) program_.slots.push_back(value);
  return found->second;
}

Program build_program(const std::vector<const Formula*>& formulas) {
  Program program;
  program.period_ns = formulas.empty() ? 1 : formulas.front()->period.count();
  program.row_width = formulas.empty() ? 0 : formulas.front()->row_width;
  Lowering lowering(program);
  for (const Formula* formula : formulas) lowering.add(*formula);
  lowering.link();
  return program;
}

}  // namespace ovenproof::properties
