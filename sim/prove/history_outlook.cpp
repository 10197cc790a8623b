#include "sim/prove/history.hpp"

/// What a scan's answer settles by itself: the same truths as in history.cpp, in three values, for
/// facts nobody has looked at yet.
namespace ovenproof::prove {

struct Histories::Weighing {
  const ToldValues& before;
  const ToldValues& now;
  std::uint64_t old_bits;
  std::uint64_t new_bits;
  std::uint64_t open_bits;
  std::uint64_t first_outs;
  const Reading kept;
  FactSet facts = 0;                       ///< met on the way to what is open
  std::array<FactSet, 64> operator_facts;  ///< set where the bit is open

  [[nodiscard]] bool begun() const { return (old_bits & 1U) != 0; }
};

Histories::Truth Histories::weigh(std::uint32_t id, Weighing& w) const {
  const Node& node = nodes_[id];
  const auto truth = [](bool holds) { return holds ? Truth::yes : Truth::no; };
  // Facts of an operand count only if the whole stays open.
  const auto all = [&](Truth stops, auto value_of) {
    const FactSet facts = w.facts;
    Truth result = stops == Truth::no ? Truth::yes : Truth::no;
    for (std::size_t i = 0; i < node.operands.size(); ++i) {
      const Truth operand = value_of(i);
      if (operand == stops) {
        w.facts = facts;
        return stops;
      }
      if (operand == Truth::open) result = Truth::open;
    }
    return result;
  };
  const auto inverse = [](Truth t) {
    return t == Truth::open ? t : t == Truth::yes ? Truth::no : Truth::yes;
  };
  switch (node.op) {
    case Op::constant:
      return truth(node.values != 0);
    case Op::fact:
      if ((node.values & 3U) == 3U || (node.values & 3U) == 0U) return truth(node.values != 0);
      w.facts |= FactSet{1} << node.signal;
      return Truth::open;
    case Op::told:
      if (node.signal == static_cast<std::uint8_t>(Told::first_out) && w.first_outs != 0) {
        const std::uint64_t named = node.values & w.first_outs;
        if (named != 0 && named != w.first_outs) {
          w.facts |= which_first_out;
          return Truth::open;
        }
        return truth(named != 0);
      }
      return truth((node.values >> w.now[node.signal] & 1U) != 0);
    case Op::timer:
      if ((node.values & 3U) == 3U || (node.values & 3U) == 0U) return truth(node.values != 0);
      return Truth::open;
    case Op::changed_told:
      return truth(w.begun() && w.now[node.signal] != w.before[node.signal]);
    case Op::negation:
      return inverse(weigh(node.operands[0], w));
    case Op::conjunction:
      return all(Truth::no, [&](std::size_t i) { return weigh(node.operands[i], w); });
    case Op::disjunction:
      return all(Truth::yes, [&](std::size_t i) { return weigh(node.operands[i], w); });
    case Op::implication:
      return all(Truth::yes, [&](std::size_t i) {
        const Truth operand = weigh(node.operands[i], w);
        return i == 0 ? inverse(operand) : operand;
      });
    case Op::rises:
      if (!w.begun()) return Truth::no;
      if (node.bit == 0) {
        const FactSet facts = w.facts;
        const Truth now = weigh(node.operands[0], w);
        const Truth before = now == Truth::no ? Truth::no : weigh_before(node.operands[0], w);
        if (now == Truth::no || before == Truth::yes) {
          w.facts = facts;
          return Truth::no;
        }
        return now == Truth::yes && before == Truth::no ? Truth::yes : Truth::open;
      }
      if ((w.old_bits >> node.bit & 1U) != 0) return Truth::no;
      break;
    default:
      break;
  }
  if ((w.open_bits >> node.bit & 1U) != 0) {
    w.facts |= w.operator_facts[node.bit];
    return Truth::open;
  }
  return truth((w.new_bits >> node.bit & 1U) != 0);
}

Histories::Truth Histories::weigh_before(std::uint32_t id, Weighing& w) const {
  const Node& node = nodes_[id];
  const auto truth = [](bool holds) { return holds ? Truth::yes : Truth::no; };
  switch (node.op) {
    case Op::constant:
      return truth(node.values != 0);
    case Op::fact: {
      const FactSet fact = FactSet{1} << node.signal;
      if ((w.kept.known & fact) == 0) return Truth::open;
      return truth((node.values >> ((w.kept.value & fact) != 0 ? 1U : 0U) & 1U) != 0);
    }
    case Op::told:
      return truth((node.values >> w.before[node.signal] & 1U) != 0);
    case Op::negation: {
      const Truth t = weigh_before(node.operands[0], w);
      return t == Truth::open ? t : truth(t == Truth::no);
    }
    default: {
      // Conjunction, disjunction or implication: the operand that settles it, if any does.
      const Truth settles = node.op == Op::conjunction ? Truth::no : Truth::yes;
      bool open = false;
      for (std::size_t i = 0; i < node.operands.size(); ++i) {
        Truth t = weigh_before(node.operands[i], w);
        if (node.op == Op::implication && i == 0 && t != Truth::open) t = truth(t == Truth::no);
        if (t == settles) return settles;
        open = open || t == Truth::open;
      }
      return open ? Truth::open : truth(settles == Truth::no);
    }
  }
}

Histories::Truth Histories::weigh_operator(const Node& node, Weighing& w) const {
  const bool was = (w.old_bits >> node.bit & 1U) != 0;
  const FactSet facts = w.facts;
  switch (node.op) {
    case Op::once:
      return was ? Truth::yes : weigh(node.operands[0], w);
    case Op::historically:
      return was || !w.begun() ? weigh(node.operands[0], w) : Truth::no;
    case Op::since: {
      const Truth goal = weigh(node.operands[1], w);
      if (goal == Truth::yes || !was) return goal;
      const Truth hold = weigh(node.operands[0], w);
      if (hold == Truth::yes) {
        w.facts = facts;
        return hold;
      }
      return hold == Truth::no ? goal : Truth::open;
    }
    case Op::at_start:
      if (w.begun()) return was ? Truth::yes : Truth::no;
      return weigh(node.operands[0], w);
    default:
      return weigh(node.operands[0], w);
  }
}

void Histories::look_ahead(const View& view, Outlook& outlook, std::uint64_t first_outs,
                           const ObligationSet& met) const {
  Weighing w{view.before, view.now, view.bits, 1, 0, first_outs, kept_reading(view.bits), 0, {}};
  outlook.memory_facts = 0;
  for (const std::uint32_t id : timed_) {
    const Node& node = nodes_[id];
    const std::uint64_t bit = std::uint64_t{1} << node.bit;
    w.facts = 0;
    const Truth truth = weigh_operator(node, w);
    if (truth == Truth::yes) w.new_bits |= bit;
    if (truth != Truth::open) continue;
    w.open_bits |= bit;
    w.operator_facts[node.bit] = w.facts;
    outlook.memory_facts |= w.facts;
  }
  outlook.verdicts = {};
  outlook.open_obligations.reset();
  outlook.facts.resize(roots_.size());
  for (std::size_t i = 0; i < roots_.size(); ++i) {
    const Root& root = roots_[i];
    if (!root.conclusion && met[i]) continue;
    w.facts = 0;
    const Truth premise = root.premise ? weigh(*root.premise, w) : Truth::yes;
    const Truth holds =
        premise == Truth::no || !root.conclusion ? Truth::yes : weigh(*root.conclusion, w);
    if (premise == Truth::open || holds == Truth::open) {
      outlook.open_obligations.set(i);
      outlook.facts[i] = w.facts;
      continue;
    }
    if (premise == Truth::yes) outlook.verdicts.premises.set(i);
    if (holds == Truth::no) outlook.verdicts.violated.set(i);
  }
  outlook.bits = w.new_bits;
  outlook.open_operators = w.open_bits;
  // What the next scan can ask of this one: nothing where this one's answer settles it.
  w.facts = 0;
  for (const std::uint32_t id : edges_) {
    const FactSet facts = w.facts;
    if (weigh(nodes_[id].operands[0], w) != Truth::open) w.facts = facts;
  }
  outlook.keep = w.facts & kept_;
  outlook.memory_facts |= outlook.keep;
}

}  // namespace ovenproof::prove
