#include "solver.hpp"

#include <algorithm>
#include <stdexcept>
#include <z3++.h>

namespace ovenproof::prove::test {
namespace {

using Exprs = std::vector<z3::expr>;

/// Has its own memory in the unrolled machine.
bool remembers(Op op) { return op >= Op::once; }

/// What one scan makes of variables for the machine's bits, what the claim remembers (the first
/// says whether any scan was before) and the facts.
struct Step {
  Exprs next_bits;
  Exprs next_memory;
  z3::expr claim;
  Exprs parts;       ///< of the claim, each of its nodes
  z3::expr allowed;  ///< the facts do not exclude each other
};

class Encoder {
 public:
  Encoder(z3::context& context, const RandomMachine& m) : c_(context), m_(m) {
    for (std::size_t i = 0; i < m.claim.size(); ++i) {
      memory_of_.push_back(memory_count_);
      if (remembers(m.claim[i].op)) ++memory_count_;
    }
  }

  [[nodiscard]] std::size_t memory_count() const { return memory_count_; }

  Exprs variables(const std::string& name, std::size_t count) const {
    Exprs all;
    for (std::size_t i = 0; i < count; ++i) {
      all.push_back(c_.bool_const((name + std::to_string(i)).c_str()));
    }
    return all;
  }

  Exprs first_bits() const {
    Exprs all;
    for (unsigned i = 0; i < m_.bits; ++i) all.push_back(c_.bool_val((m_.initial >> i & 1U) != 0));
    return all;
  }
  Exprs first_memory() const { return Exprs(memory_count_, c_.bool_val(false)); }

  Step step(const Exprs& bits, const Exprs& memory, const Exprs& facts) const {
    Exprs next_bits;
    for (const Tree& tree : m_.next) next_bits.push_back(boolean(tree, bits, facts));
    Exprs next_memory{c_.bool_val(true)};
    const z3::expr& begun = memory[0];
    Exprs is;  // of each node of the claim
    for (std::size_t i = 0; i < m_.claim.size(); ++i) {
      const Node& node = m_.claim[i];
      const auto was = [&] { return memory[memory_of_[i]]; };
      switch (node.op) {
        case Op::implication:
          is.push_back(z3::implies(is[node.left], is[node.right]));
          break;
        case Op::once:
          is.push_back(was() || is[node.left]);
          break;
        case Op::historically:
          is.push_back((was() || !begun) && is[node.left]);
          break;
        case Op::since:
          is.push_back((was() && is[node.left]) || is[node.right]);
          break;
        case Op::at_start:
          is.push_back(z3::ite(begun, was(), is[node.left]));
          break;
        case Op::rises:
          is.push_back(begun && is[node.left] && !was());
          break;
        default:
          is.push_back(plain(node, is, next_bits, facts));
      }
      if (remembers(node.op)) next_memory.push_back(node.op == Op::rises ? is[node.left] : is[i]);
    }
    return {next_bits, next_memory, is.back(), is, allowed(facts)};
  }

 private:
  z3::expr plain(const Node& node, const Exprs& is, const Exprs& bits, const Exprs& facts) const {
    switch (node.op) {
      case Op::state:
        return bits[node.index];
      case Op::fact:
        return facts[node.index];
      case Op::negation:
        return !is[node.left];
      case Op::conjunction:
        return is[node.left] && is[node.right];
      case Op::disjunction:
        return is[node.left] || is[node.right];
      default:
        throw std::logic_error("an operator over the past");
    }
  }
  z3::expr boolean(const Tree& tree, const Exprs& bits, const Exprs& facts) const {
    Exprs is;
    for (const Node& node : tree) is.push_back(plain(node, is, bits, facts));
    return is.back();
  }
  /// Written down once more, and not taken from the explorer.
  z3::expr allowed(const Exprs& facts) const {
    z3::expr all = c_.bool_val(true);
    const auto never_both = [&](logic::Fact one, logic::Fact other) {
      for (std::size_t i = 0; i < facts.size(); ++i) {
        for (std::size_t j = 0; j < facts.size(); ++j) {
          if (m_.facts[i] == one && m_.facts[j] == other) all = all && !(facts[i] && facts[j]);
        }
      }
    };
    never_both(logic::Fact::door_closed, logic::Fact::door_open);
    never_both(logic::Fact::oxygen_at_gate, logic::Fact::oxygen_above_hold);
    return all;
  }

  z3::context& c_;
  const RandomMachine& m_;
  std::vector<std::size_t> memory_of_;  ///< of each node of the claim
  std::size_t memory_count_ = 1;
};

z3::expr_vector list(z3::context& c, std::initializer_list<const Exprs*> parts) {
  z3::expr_vector all(c);
  for (const Exprs* part : parts) {
    for (const z3::expr& each : *part) all.push_back(each);
  }
  return all;
}

bool answer(z3::check_result result) {
  if (result == z3::unknown) throw std::runtime_error("the solver does not know");
  return result == z3::sat;
}

/// Over runs of any length: a relation that holds of all that can come about is asked for the goal.
template <class Goal>
bool reachable(const RandomMachine& machine, Goal goal) {
  z3::context c;
  const Encoder encoder(c, machine);
  const Exprs bits = encoder.variables("b", machine.bits);
  const Exprs memory = encoder.variables("m", encoder.memory_count());
  const Exprs facts = encoder.variables("f", machine.facts.size());
  const Step step = encoder.step(bits, memory, facts);

  z3::fixedpoint fixed(c);
  z3::params params(c);
  params.set("engine", c.str_symbol("spacer"));
  // What rewrites the rules first has been seen to give wrong answers (z3 4.8.12).
  params.set("xform.slice", false);
  params.set("xform.inline_linear", false);
  params.set("xform.inline_eager", false);
  fixed.set(params);
  z3::sort_vector sorts(c);
  for (std::size_t i = 0; i < bits.size() + memory.size(); ++i) sorts.push_back(c.bool_sort());
  z3::func_decl at = z3::function("at", sorts, c.bool_sort());
  z3::func_decl found = z3::function("found", z3::sort_vector(c), c.bool_sort());
  fixed.register_relation(at);
  fixed.register_relation(found);
  const Exprs first_bits = encoder.first_bits();
  const Exprs first_memory = encoder.first_memory();
  z3::expr first = at(list(c, {&first_bits, &first_memory}));
  fixed.add_rule(first, c.str_symbol("first"));
  const z3::expr here = at(list(c, {&bits, &memory})) && step.allowed;
  const z3::expr_vector all = list(c, {&bits, &memory, &facts});
  z3::expr onward =
      z3::forall(all, z3::implies(here, at(list(c, {&step.next_bits, &step.next_memory}))));
  fixed.add_rule(onward, c.str_symbol("onward"));
  z3::expr goal_met = z3::forall(all, z3::implies(here && goal(step), found()));
  fixed.add_rule(goal_met, c.str_symbol("goal"));
  z3::expr query = found();
  return answer(fixed.query(query));
}

}  // namespace

bool solver_refutes(const RandomMachine& machine) {
  return reachable(machine, [](const Step& step) { return !step.claim; });
}

namespace {

/// Nodes of a claim that must hold together in some scan.
using Together = std::vector<unsigned>;

/// The nodes that an operator joins below this one, at any depth.
Together joined(const Tree& claim, Op op, unsigned node) {
  if (claim[node].op != op) return {node};
  Together all = joined(claim, op, claim[node].left);
  for (const unsigned each : joined(claim, op, claim[node].right)) all.push_back(each);
  return all;
}

/// What must happen for each part of the claim to say anything. Written down once more, and not
/// taken from the explorer.
void premises_of(const Tree& claim, unsigned node, bool negated, const Together& given,
                 std::vector<Together>& all) {
  const Node& n = claim[node];
  if (n.op == Op::negation) return premises_of(claim, n.left, !negated, given, all);
  const bool both = n.op == (negated ? Op::disjunction : Op::conjunction);
  if (both || (negated && n.op == Op::implication)) {
    premises_of(claim, n.left, n.op == Op::implication ? false : negated, given, all);
    return premises_of(claim, n.right, negated, given, all);
  }
  if (n.op == Op::implication) {
    Together more = given;
    more.push_back(n.left);
    return premises_of(claim, n.right, false, more, all);
  }
  if (!given.empty()) all.push_back(given);
  for (std::size_t i = 0; i < given.size(); ++i) {
    for (const unsigned either : joined(claim, Op::disjunction, given[i])) {
      Together one = given;
      one[i] = either;
      all.push_back(one);
    }
  }
  if (n.op != Op::conjunction) return;
  for (const unsigned each : joined(claim, Op::conjunction, node)) all.push_back({each});
}

}  // namespace

bool solver_reaches_premises(const RandomMachine& machine) {
  std::vector<Together> all;
  if (machine.claim.back().op != Op::at_start) {
    premises_of(machine.claim, static_cast<unsigned>(machine.claim.size() - 1), false, {}, all);
  }
  return std::all_of(all.begin(), all.end(), [&](const Together& together) {
    return reachable(machine, [&](const Step& step) {
      z3::expr holds = step.parts[together[0]];
      for (const unsigned each : together) holds = holds && step.parts[each];
      return holds;
    });
  });
}

bool solver_refutes_in(const RandomMachine& machine, std::size_t scans) {
  z3::context c;
  const Encoder encoder(c, machine);
  z3::solver solver(c);
  Exprs bits = encoder.first_bits();
  Exprs memory = encoder.first_memory();
  for (std::size_t i = 0; i < scans; ++i) {
    const std::string name = "f" + std::to_string(i) + "_";
    const Step step = encoder.step(bits, memory, encoder.variables(name, machine.facts.size()));
    solver.add(step.allowed);
    if (i + 1 == scans) solver.add(!step.claim);
    bits = step.next_bits;
    memory = step.next_memory;
  }
  return answer(solver.check());
}

}  // namespace ovenproof::prove::test
