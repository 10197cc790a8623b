#include <algorithm>
#include <bit>
#include <stdexcept>
#include <utility>

#include "sim/properties/formula.hpp"
#include "sim/prove/history.hpp"

/// From formulas to nodes and obligations.
namespace ovenproof::prove {
namespace {

using properties::Condition;
using properties::Formula;
using Kind = Condition::Kind;

constexpr std::uint8_t a_bit = 0xFF;  // the next one

/// The parts of it that `kind` joins, at any depth.
std::vector<std::uint32_t> joined_by(Kind kind, const Formula& formula, std::uint32_t id) {
  if (formula[id].kind != kind) return {id};
  std::vector<std::uint32_t> all;
  for (const std::uint32_t operand : formula[id].operands) {
    const std::vector<std::uint32_t> parts = joined_by(kind, formula, operand);
    all.insert(all.end(), parts.begin(), parts.end());
  }
  return all;
}

/// The words of the conditions, as they stand in the formula.
std::string words_of(const Formula& formula, const std::vector<std::uint32_t>& conditions) {
  std::string words;
  for (const std::uint32_t id : conditions) {
    const properties::Span span = formula[id].span;
    std::string one = formula.text.substr(span.begin, span.end - span.begin);
    // A span leaves out brackets at its ends, as of `rises(x)` the last.
    const auto open =
        std::count(one.begin(), one.end(), '(') - std::count(one.begin(), one.end(), ')');
    if (open > 0) one.append(static_cast<std::size_t>(open), ')');
    if (open < 0) one.insert(0, static_cast<std::size_t>(-open), '(');
    words += (words.empty() ? "" : " and ") + one;
  }
  return words;
}

}  // namespace

struct Histories::Splitting {
  const Formula& formula;
  const logic::Options& options;
  std::size_t property;
};

Histories::Histories(std::vector<properties::Property> properties, const logic::Options& options) {
  width_ = 1;  // begun_bit
  for (const properties::Property& property : properties) {
    const Formula& formula = property.formula();
    const Condition& root = formula[formula.root];
    look_for_first_outs(formula, formula.root);
    const Splitting splitting{formula, options, property_count_++};
    if (root.kind == Kind::at_start) {
      const std::uint32_t whole = add(formula, formula.root, options);
      roots_.push_back({{splitting.property, ""}, std::nullopt, whole, {}});
    } else {
      split(splitting, root.operands.front(), false, {});
    }
  }
  if (roots_.size() > ObligationSet().size()) {
    throw std::invalid_argument("the properties together have more than " +
                                std::to_string(ObligationSet().size()) +
                                " parts that are proved one by one");
  }
  for (Root& root : roots_) {
    if (root.premise) add_footprint(*root.premise, root.footprint);
    if (root.conclusion) add_footprint(*root.conclusion, root.footprint);
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

/// Takes the condition, or its opposite, apart into what must hold each by itself while all the
/// premises do.
void Histories::split(const Splitting& s, std::uint32_t id, bool negated,
                      const std::vector<std::uint32_t>& premises) {
  const Formula& formula = s.formula;
  const Condition& c = formula[id];
  switch (c.kind) {
    case Kind::negation:
      return split(s, c.operands[0], !negated, premises);
    case Kind::conjunction:
    case Kind::disjunction:
      if ((c.kind == Kind::conjunction) == negated) break;
      for (const std::uint32_t operand : c.operands) split(s, operand, negated, premises);
      return;
    case Kind::implication:
      if (negated) {
        split(s, c.operands[0], false, premises);
        return split(s, c.operands[1], true, premises);
      } else {
        std::vector<std::uint32_t> more = premises;
        more.push_back(c.operands[0]);
        return split(s, c.operands[1], false, more);
      }
    default:
      break;
  }

  const auto all_of = [&](const std::vector<std::uint32_t>& conditions) {
    std::optional<std::uint32_t> node;
    for (const std::uint32_t each : conditions) {
      const std::uint32_t added = add(formula, each, s.options);
      node = node ? combine(Op::conjunction, {*node, added}) : added;
    }
    return node;
  };
  std::uint32_t conclusion = add(formula, id, s.options);
  if (negated) conclusion = combine(Op::negation, {conclusion});
  roots_.push_back({{s.property, words_of(formula, premises)}, all_of(premises), conclusion, {}});

  const auto must_happen = [&](const std::vector<std::uint32_t>& conditions) {
    const std::optional<std::uint32_t> premise = all_of(conditions);
    if (nodes_[*premise].op == Op::constant) return;  // an option that the machine has or has not
    roots_.push_back({{s.property, words_of(formula, conditions)}, premise, {}, {}});
  };
  // Each of several premises that lead to the same.
  for (std::size_t i = 0; i < premises.size(); ++i) {
    const std::vector<std::uint32_t> either = joined_by(Kind::disjunction, formula, premises[i]);
    for (std::size_t n = 0; n < either.size() && either.size() > 1; ++n) {
      std::vector<std::uint32_t> one = premises;
      one[i] = either[n];
      must_happen(one);
    }
  }
  // Each of what must not happen together.
  const std::vector<std::uint32_t> together = joined_by(Kind::conjunction, formula, id);
  for (std::size_t n = 0; n < together.size() && together.size() > 1; ++n) {
    must_happen({together[n]});
  }
}

/// What two properties say in the same words is one node with one bit.
std::uint32_t Histories::place(Node node) {
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
}

/// A condition made of conditions of the same scan.
std::uint32_t Histories::combine(Op op, std::vector<std::uint32_t> operands) {
  Node node;
  node.op = op;
  node.operands = std::move(operands);
  node.on_before = std::all_of(node.operands.begin(), node.operands.end(),
                               [this](std::uint32_t operand) { return nodes_[operand].on_before; });
  return place(std::move(node));
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
  const auto on_before = [this](const Node& node) {
    return std::all_of(node.operands.begin(), node.operands.end(),
                       [this](std::uint32_t operand) { return nodes_[operand].on_before; });
  };

  Node node;
  node.values = c.values;
  if (c.kind == Kind::member || c.kind == Kind::changed) {
    const bool fact = c.signal < logic::fact_count;
    const bool timer = c.signal >= first_timer_signal;
    node.op = fact ? Op::fact : timer ? Op::timer : Op::told;
    node.signal = static_cast<std::uint8_t>(c.signal - (fact    ? 0
                                                        : timer ? first_timer_signal
                                                                : logic::fact_count));
    const auto told = static_cast<Told>(node.signal);
    node.on_before = fact || (!timer && is_kept(told));
    if (c.kind == Kind::member) {
      if (node.op == Op::told && told >= Told::oxygen_monitor) {  // the machine has it or not
        const bool truth = (c.values >> told_by({}, options)[node.signal] & 1U) != 0;
        node = Node{};
        node.values = truth ? 1 : 0;
        node.on_before = true;
      }
      return place(std::move(node));
    }
    if (node.op == Op::told && node.on_before) {
      node.op = Op::changed_told;
      node.on_before = false;
      return place(std::move(node));
    }
    // Of a fact or a timer: it rises or it falls.
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

}  // namespace ovenproof::prove
