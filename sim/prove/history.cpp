#include "sim/prove/history.hpp"

#include <algorithm>
#include <bit>
#include <stdexcept>
#include <utility>

#include "sim/properties/formula.hpp"

namespace ovenproof::prove {
namespace {

using properties::Condition;
using properties::Formula;
using Kind = Condition::Kind;

bool looks_back(Kind kind) {
  switch (kind) {
    case Kind::constant:
    case Kind::member:
    case Kind::changed:
    case Kind::negation:
    case Kind::conjunction:
    case Kind::disjunction:
    case Kind::implication:
    case Kind::once:
    case Kind::historically:
    case Kind::since:
    case Kind::rises:
    case Kind::at_start:
      return true;
    default:
      return false;
  }
}

const char* word_of(Kind kind) {
  switch (kind) {
    case Kind::comparison:
      return "a comparison of numbers";
    case Kind::always:
      return "`always` inside";
    case Kind::eventually:
      return "`eventually`";
    case Kind::until:
      return "`until`";
    case Kind::held_for:
      return "`for at least`";
    case Kind::at_end:
      return "`at_end`";
    case Kind::after:
      return "`within T after`";
    default:
      return "an operator with a time";
  }
}

}  // namespace

std::vector<properties::Diagnostic> provable(const properties::Property& property) {
  const Formula& formula = property.formula();
  std::vector<properties::Diagnostic> errors;
  const auto report = [&](properties::Span span, std::string expected, std::string found) {
    errors.push_back({span, properties::position_of(formula.text, span.begin), std::move(expected),
                      std::move(found)});
  };
  const Condition& root = formula[formula.root];
  if ((root.kind != Kind::always && root.kind != Kind::at_start) || root.bounded) {
    report(root.span,
           "`always`, `never` or `at_start`, without a time, around what is to be proved",
           "something else");
    return errors;
  }
  std::vector<properties::ConditionId> open = root.operands;
  while (!open.empty()) {
    const Condition& c = formula[open.back()];
    open.pop_back();
    if (c.bounded) {
      report(c.span, "no time: scans that are explored have no duration", "a time bound");
    } else if (!looks_back(c.kind)) {
      report(c.span, "conditions and operators over the past", word_of(c.kind));
    } else {
      open.insert(open.end(), c.operands.begin(), c.operands.end());
    }
  }
  return errors;
}

struct Histories::Scan {
  const ToldValues& before;
  const ToldValues& now;
  std::uint64_t old_bits;
  std::uint64_t new_bits;
  Adversary& facts;

  Scan(const View& view, const Outlook& outlook, Adversary& asked)
      : before(view.before),
        now(view.now),
        old_bits(view.bits),
        new_bits(outlook.bits),
        facts(asked) {}

  [[nodiscard]] bool begun() const { return (old_bits & begun_bit) != 0; }
  [[nodiscard]] bool was(const Node& node) const { return (old_bits >> node.bit & 1U) != 0; }
  [[nodiscard]] bool is(const Node& node) const { return (new_bits >> node.bit & 1U) != 0; }
};

bool Histories::now(const Node& node, Scan& scan) const {
  switch (node.op) {
    case Op::constant:
      return node.values != 0;
    case Op::fact:
      return (node.values >> (scan.facts.now(static_cast<logic::Fact>(node.signal)) ? 1U : 0U) &
              1U) != 0;
    case Op::told:
      return (node.values >> scan.now[node.signal] & 1U) != 0;
    case Op::timer:
      return (node.values >> (scan.facts.runs(static_cast<logic::Timer>(node.signal)) ? 1U : 0U) &
              1U) != 0;
    case Op::changed_told:
      return scan.begun() && scan.now[node.signal] != scan.before[node.signal];
    case Op::negation:
      return !now(nodes_[node.operands[0]], scan);
    case Op::conjunction:
      return std::all_of(node.operands.begin(), node.operands.end(),
                         [&](std::uint32_t operand) { return now(nodes_[operand], scan); });
    case Op::disjunction:
      return std::any_of(node.operands.begin(), node.operands.end(),
                         [&](std::uint32_t operand) { return now(nodes_[operand], scan); });
    case Op::implication:
      return !now(nodes_[node.operands[0]], scan) || now(nodes_[node.operands[1]], scan);
    case Op::rises:
      if (!scan.begun()) return false;
      if (node.bit != no_bit) return scan.is(node) && !scan.was(node);
      return now(nodes_[node.operands[0]], scan) && !before(nodes_[node.operands[0]], scan);
    default:
      return scan.is(node);
  }
}

/// Only of nodes without operators of time below them.
bool Histories::before(const Node& node, Scan& scan) const {
  switch (node.op) {
    case Op::constant:
      return node.values != 0;
    case Op::fact:
      return (node.values >> (scan.facts.before(static_cast<logic::Fact>(node.signal)) ? 1U : 0U) &
              1U) != 0;
    case Op::told:
      return (node.values >> scan.before[node.signal] & 1U) != 0;
    case Op::negation:
      return !before(nodes_[node.operands[0]], scan);
    case Op::conjunction:
      return std::all_of(node.operands.begin(), node.operands.end(),
                         [&](std::uint32_t operand) { return before(nodes_[operand], scan); });
    case Op::disjunction:
      return std::any_of(node.operands.begin(), node.operands.end(),
                         [&](std::uint32_t operand) { return before(nodes_[operand], scan); });
    default:
      return !before(nodes_[node.operands[0]], scan) || before(nodes_[node.operands[1]], scan);
  }
}

bool Histories::operator_now(const Node& node, Scan& scan) const {
  const bool was = scan.was(node);
  const auto operand = [&](std::size_t i) { return now(nodes_[node.operands[i]], scan); };
  switch (node.op) {
    case Op::once:
      return was || operand(0);
    case Op::historically:
      return (was || !scan.begun()) && operand(0);
    case Op::since:
      return (was && operand(0)) || operand(1);
    case Op::at_start:
      return scan.begun() ? was : operand(0);
    default:  // an edge of something that cannot be asked of the scan before
      return operand(0);
  }
}

void Histories::settle(std::uint64_t operators, const Outlook& outlook, Scan& scan) const {
  operators &= outlook.open_operators;
  if (operators == 0) return;
  for (const std::uint32_t id : timed_) {
    const std::uint64_t bit = std::uint64_t{1} << nodes_[id].bit;
    if ((operators & bit) != 0 && operator_now(nodes_[id], scan)) scan.new_bits |= bit;
  }
}

std::uint64_t Histories::remember(const View& view, const Outlook& outlook,
                                  Adversary& facts) const {
  Scan scan(view, outlook, facts);
  settle(~std::uint64_t{0}, outlook, scan);
  return scan.new_bits;
}

Histories::Verdict Histories::judge(std::size_t obligation, const View& view,
                                    const Outlook& outlook, Adversary& facts) const {
  const Root& root = roots_[obligation];
  Scan scan(view, outlook, facts);
  settle(root.footprint.operators, outlook, scan);
  const bool premise = !root.premise || now(nodes_[*root.premise], scan);
  return {premise, !premise || !root.conclusion || now(nodes_[*root.conclusion], scan)};
}

std::uint64_t Histories::kept_bits(const Reading& reading, FactSet worth) const {
  const FactSet known = reading.known | excluded_by(reading.value);
  std::uint64_t bits = 0;
  unsigned at = width_ - 2 * static_cast<unsigned>(std::popcount(kept_));
  for (FactSet left = kept_; left != 0; left &= left - 1, at += 2) {
    const FactSet fact = left & ~(left - 1);
    if ((worth & fact) == 0) continue;
    if ((known & fact) != 0) bits |= std::uint64_t{1} << at;
    if ((reading.value & fact) != 0) bits |= std::uint64_t{2} << at;
  }
  return bits;
}

Reading Histories::kept_reading(std::uint64_t bits) const {
  Reading reading;
  unsigned at = width_ - 2 * static_cast<unsigned>(std::popcount(kept_));
  for (FactSet left = kept_; left != 0; left &= left - 1, at += 2) {
    const FactSet fact = left & ~(left - 1);
    if ((bits >> at & 1U) != 0) reading.known |= fact;
    if ((bits >> at & 2U) != 0) reading.value |= fact;
  }
  return reading;
}

}  // namespace ovenproof::prove
