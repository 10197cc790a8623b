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

constexpr std::uint64_t begun_bit = 1;
constexpr std::uint8_t no_bit = 0;    // that one is taken
constexpr std::uint8_t a_bit = 0xFF;  // whichever comes next

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

Histories::Histories(std::vector<properties::Property> properties, const logic::Options& options) {
  if (properties.size() > PropertySet().size()) {
    throw std::invalid_argument("at most " + std::to_string(PropertySet().size()) +
                                " properties at a time");
  }
  width_ = 1;  // begun_bit
  for (const properties::Property& property : properties) {
    const Formula& formula = property.formula();
    const Condition& root = formula[formula.root];
    look_for_first_outs(formula, formula.root);
    Root made{};
    if (root.kind == Kind::at_start) {
      made.claim = made.premise = add(formula, formula.root, options);
    } else {
      made.claim = made.premise = add(formula, root.operands.front(), options);
      made.has_premise = nodes_[made.claim].op == Op::implication;
      if (made.has_premise) made.premise = nodes_[made.claim].operands[0];
    }
    add_footprint(made.claim, made.footprint);
    roots_.push_back(made);
  }
  for (const std::uint32_t id : timed_) add_footprint(id, memory_footprint_);
  for (std::uint32_t id = 0; id < nodes_.size(); ++id) {
    if (nodes_[id].op != Op::rises || nodes_[id].bit != no_bit) continue;
    edges_.push_back(id);
    kept_ |= facts_below(nodes_[id].operands[0]);
  }
  // Where nothing asks whether a scan is the first, the first is like any other.
  const bool first_matters = std::any_of(nodes_.begin(), nodes_.end(), [](const Node& node) {
    return node.op == Op::rises || node.op == Op::changed_told || node.op == Op::historically ||
           node.op == Op::at_start;
  });
  if (!first_matters) at_birth_ = begun_bit;
  for (FactSet left = kept_; left != 0; left &= left - 1) {
    take_bit();  // whether it is known
    take_bit();  // and what it is
  }
}

void Histories::look_for_first_outs(const Formula& formula, std::uint32_t id) {
  constexpr std::uint32_t first_out =
      logic::fact_count + static_cast<std::uint32_t>(Told::first_out);
  const Condition& c = formula[id];
  if (c.kind == Kind::member && c.signal == first_out) {
    for (std::size_t i = 0; i < logic::cause_count; ++i) {
      const auto alike = static_cast<unsigned>(representative(static_cast<logic::Cause>(i)));
      if ((c.values >> i & 1U) != (c.values >> alike & 1U)) tell_first_outs_apart_ = true;
    }
  }
  // An edge of one cause can only be its coming: from then on the first-out stays until reset.
  const bool comes = c.kind == Kind::rises && formula[c.operands[0]].kind == Kind::member &&
                     formula[c.operands[0]].signal == first_out &&
                     std::popcount(formula[c.operands[0]].values) == 1;
  if (comes) return;
  for (const std::uint32_t operand : c.operands) look_for_first_outs(formula, operand);
}

FactSet Histories::facts_below(std::uint32_t id) const {
  const Node& node = nodes_[id];
  FactSet facts = node.op == Op::fact ? FactSet{1} << node.signal : 0;
  for (const std::uint32_t operand : node.operands) facts |= facts_below(operand);
  return facts;
}

std::uint8_t Histories::take_bit() {
  if (width_ == 64) {
    throw std::invalid_argument("the properties together remember more than 64 bits");
  }
  return static_cast<std::uint8_t>(width_++);
}

void Histories::add_footprint(std::uint32_t id, Footprint& footprint) const {
  const Node& node = nodes_[id];
  if (node.op == Op::told || node.op == Op::changed_told) footprint.told |= 1U << node.signal;
  if (node.bit != no_bit) footprint.operators |= std::uint64_t{1} << node.bit;
  if (node.op == Op::rises && node.bit == no_bit) {
    footprint.before |= facts_below(node.operands[0]);
  }
  for (const std::uint32_t operand : node.operands) add_footprint(operand, footprint);
}

std::uint32_t Histories::add(const Formula& formula, std::uint32_t id,
                             const logic::Options& options) {
  const Condition& c = formula[id];
  // What two properties say in the same words is one node with one bit.
  const auto place = [this](Node node) {
    const auto alike = std::find_if(nodes_.begin(), nodes_.end(), [&node](const Node& other) {
      return other.op == node.op && other.signal == node.signal && other.values == node.values &&
             other.operands == node.operands;
    });
    if (alike != nodes_.end()) return static_cast<std::uint32_t>(alike - nodes_.begin());
    const auto made = static_cast<std::uint32_t>(nodes_.size());
    if (node.bit != no_bit) {
      node.bit = take_bit();
      timed_.push_back(made);
    }
    nodes_.push_back(std::move(node));
    return made;
  };
  const auto on_before = [this](const Node& node) {
    return std::all_of(node.operands.begin(), node.operands.end(),
                       [this](std::uint32_t operand) { return nodes_[operand].on_before; });
  };

  Node node;
  node.values = c.values;
  if (c.kind == Kind::member || c.kind == Kind::changed) {
    const bool fact = c.signal < logic::fact_count;
    node.op = fact ? Op::fact : Op::told;
    node.signal = static_cast<std::uint8_t>(fact ? c.signal : c.signal - logic::fact_count);
    const auto told = static_cast<Told>(node.signal);
    node.on_before = fact || is_kept(told);
    if (c.kind == Kind::member) {
      if (!fact && told >= Told::oxygen_monitor) {  // the machine has it or not
        const bool truth = (c.values >> told_by({}, options)[node.signal] & 1U) != 0;
        node = Node{};
        node.values = truth ? 1 : 0;
        node.on_before = true;
      }
      return place(std::move(node));
    }
    if (!fact && node.on_before) {
      node.op = Op::changed_told;
      node.on_before = false;
      return place(std::move(node));
    }
    // Of a boolean: it rises or it falls.
    std::vector<std::uint32_t> either;
    for (const std::uint64_t values : {2U, 1U}) {
      Node level = node;
      level.values = values;
      Node edge;
      edge.op = Op::rises;
      edge.operands = {place(std::move(level))};
      const bool eager = !nodes_[edge.operands[0]].on_before;
      if (eager) edge.bit = a_bit;
      either.push_back(place(std::move(edge)));
    }
    Node any;
    any.op = Op::disjunction;
    any.operands = std::move(either);
    return place(std::move(any));
  }

  for (const properties::ConditionId operand : c.operands) {
    node.operands.push_back(add(formula, operand, options));
  }
  const auto with_bit = [&](Op op) {
    node.op = op;
    node.bit = a_bit;
    return place(std::move(node));
  };
  switch (c.kind) {
    case Kind::negation:
      node.op = Op::negation;
      break;
    case Kind::conjunction:
      node.op = Op::conjunction;
      break;
    case Kind::disjunction:
      node.op = Op::disjunction;
      break;
    case Kind::implication:
      node.op = Op::implication;
      break;
    case Kind::once:
      return with_bit(Op::once);
    case Kind::historically:
      return with_bit(Op::historically);
    case Kind::since:
      return with_bit(Op::since);
    case Kind::at_start:
      return with_bit(Op::at_start);
    case Kind::rises:
      if (!on_before(node)) return with_bit(Op::rises);
      node.op = Op::rises;
      return place(std::move(node));
    case Kind::constant:
      node.op = Op::constant;
      node.values = c.values & 1U;
      node.on_before = true;
      return place(std::move(node));
    default:
      throw std::invalid_argument("not a property over the past: " + formula.text);
  }
  node.on_before = on_before(node);
  return place(std::move(node));
}

bool Histories::now(const Node& node, Scan& scan) const {
  switch (node.op) {
    case Op::constant:
      return node.values != 0;
    case Op::fact:
      return (node.values >> (scan.facts.now(static_cast<logic::Fact>(node.signal)) ? 1U : 0U) &
              1U) != 0;
    case Op::told:
      return (node.values >> scan.now[node.signal] & 1U) != 0;
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

Histories::Verdict Histories::judge(std::size_t property, const View& view, const Outlook& outlook,
                                    Adversary& facts) const {
  const Root& root = roots_[property];
  const Node& claim = nodes_[root.claim];
  Scan scan(view, outlook, facts);
  settle(root.footprint.operators, outlook, scan);
  const bool premise = !root.has_premise || now(nodes_[root.premise], scan);
  return {premise, !premise || now(root.has_premise ? nodes_[claim.operands[1]] : claim, scan)};
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
