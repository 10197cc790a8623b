#include "random_machine.hpp"

#include <algorithm>
#include <array>

#include "firmware/logic/outputs.hpp"

namespace ovenproof::prove::test {
namespace {

using logic::Fact;

/// Those that exclude each other among them.
constexpr std::array free_facts{Fact::door_closed,
                                Fact::door_open,
                                Fact::oxygen_at_gate,
                                Fact::start_pressed,
                                Fact::purge_flow,
                                Fact::oxygen_above_hold,
                                logic::fact_of(logic::Timer::changeover)};

/// Bits that properties may speak of come first; others are hidden.
constexpr unsigned shown_bits = 4;
constexpr unsigned aside = 18;
constexpr unsigned place_of(unsigned bit) { return bit < shown_bits ? bit : bit + 8; }

class Gardener {
 public:
  Gardener(Dice& dice, unsigned bits, unsigned facts) : dice_(dice), bits_(bits), facts_(facts) {}

  /// A tree over bits and facts.
  Tree boolean(unsigned depth) {
    tree_.clear();
    grow(depth, false);
    return tree_;
  }
  /// The bit turns round while the one below it is on, and perhaps something else: as in a counter,
  /// far states take many scans.
  Tree counting(unsigned bit) {
    tree_.clear();
    const unsigned own = add({Op::state, bit});
    const unsigned not_own = add({Op::negation, 0, own});
    unsigned turns = bit == 0 ? leaf() : add({Op::state, bit - 1});
    if (dice_(3) == 0) turns = add({Op::conjunction, 0, turns, leaf()});
    const unsigned stays = add({Op::negation, 0, turns});
    const unsigned on = add({Op::conjunction, 0, own, stays});
    const unsigned comes_on = add({Op::conjunction, 0, not_own, turns});
    add({Op::disjunction, 0, on, comes_on});
    return tree_;
  }
  /// A tree with operators over the past.
  Tree temporal(unsigned depth) {
    tree_.clear();
    const unsigned shape = dice_(16);
    if (shape == 0) {
      add({Op::at_start, 0, grow(depth, false)});
    } else if (shape % 2 == 0) {
      const unsigned premise = grow(depth - 1, true);
      const unsigned conclusion = grow(depth - 1, true);
      add({Op::implication, 0, premise, conclusion});
    } else if (shape % 4 == 1) {  // never just these bits, and something of the past
      unsigned all = grow(1, true);
      for (unsigned i = 0; i < bits_; ++i) {
        unsigned bit = add({Op::state, i});
        if (dice_(2) == 0) bit = add({Op::negation, 0, bit});
        all = add({Op::conjunction, 0, all, bit});
      }
      add({Op::negation, 0, all});
    } else {
      const unsigned one = grow(depth - 1, true);
      const unsigned other = grow(depth - 1, true);
      const unsigned both = add({Op::conjunction, 0, one, other});
      add({Op::negation, 0, both});
    }
    return tree_;
  }

 private:
  unsigned add(Node node) {
    tree_.push_back(node);
    return static_cast<unsigned>(tree_.size() - 1);
  }
  unsigned leaf() {
    unsigned made = dice_(3) == 0 ? add({Op::fact, dice_(facts_)}) : add({Op::state, dice_(bits_)});
    return dice_(2) == 0 ? made : add({Op::negation, 0, made});
  }
  unsigned grow(unsigned depth, bool past) {
    if (depth == 0) return leaf();
    static constexpr std::array ops{
        Op::conjunction, Op::disjunction, Op::conjunction, Op::disjunction,  Op::negation,
        Op::once,        Op::since,       Op::since,       Op::historically, Op::rises};
    const Op op = ops[dice_(past ? ops.size() : 5U)];
    const unsigned left = grow(depth - 1, past);
    const bool two = op == Op::conjunction || op == Op::disjunction || op == Op::since;
    return add({op, 0, left, two ? grow(depth - 1, past) : 0});
  }

  Dice& dice_;
  unsigned bits_;
  unsigned facts_;
  Tree tree_;
};

/// Reads no fact that the truth does not hang on.
bool truth(const RandomMachine& m, const Tree& tree, unsigned at, std::uint32_t state,
           const logic::Facts& facts) {
  const Node& node = tree[at];
  const auto of = [&](unsigned operand) { return truth(m, tree, operand, state, facts); };
  switch (node.op) {
    case Op::state:
      return (state >> place_of(node.index) & 1U) != 0;
    case Op::fact:
      return facts(m.facts[node.index]);
    case Op::negation:
      return !of(node.left);
    case Op::conjunction:
      return of(node.left) && of(node.right);
    default:
      return of(node.left) || of(node.right);
  }
}

std::string text_of(const RandomMachine& m, const Tree& tree, unsigned at) {
  const Node& node = tree[at];
  const auto of = [&](unsigned operand) { return "(" + text_of(m, tree, operand) + ")"; };
  switch (node.op) {
    case Op::state:
      return std::string("command.") + logic::name_of(static_cast<logic::Output>(node.index));
    case Op::fact:
      return std::string("fact.") + logic::name_of(m.facts[node.index]);
    case Op::negation:
      return "not " + of(node.left);
    case Op::conjunction:
      return of(node.left) + " and " + of(node.right);
    case Op::disjunction:
      return of(node.left) + " or " + of(node.right);
    case Op::implication:
      return of(node.left) + " implies " + of(node.right);
    case Op::once:
      return "once " + of(node.left);
    case Op::historically:
      return "historically " + of(node.left);
    case Op::since:
      return of(node.left) + " since " + of(node.right);
    case Op::rises:
      return "rises" + of(node.left);
    case Op::at_start:
      return "at_start " + of(node.left);
  }
  return "";
}

}  // namespace

unsigned Dice::operator()(unsigned count) {
  // The finaliser of splitmix64, constants
  // from memory: Steele et al., OOPSLA 2014: check against the source.
  std::uint64_t z = state_ += 0x9E3779B97F4A7C15ULL;
  z = (z ^ z >> 30U) * 0xBF58476D1CE4E5B9ULL;
  z = (z ^ z >> 27U) * 0x94D049BB133111EBULL;
  return static_cast<unsigned>((z ^ z >> 31U) % count);
}

Machine RandomMachine::machine() const {
  std::uint32_t placed = 0;
  for (unsigned i = 0; i < bits; ++i) placed |= (initial >> i & 1U) << place_of(i);
  // The first half of a scan decides on some bits and keeps them aside; the second half, which may
  // look at the same facts, on the others.
  const unsigned half = split ? bits / 2 : 0;
  const auto next_of = [m = *this](unsigned bit, std::uint32_t state, const logic::Facts& facts) {
    const Tree& tree = m.next[bit];
    const bool on = truth(m, tree, static_cast<unsigned>(tree.size() - 1), state, facts);
    return on ? 1U : 0U;
  };
  Machine made{placed, [=, count = bits](std::uint32_t state, const logic::Facts& facts) {
                 std::uint32_t after = 0;
                 for (unsigned i = 0; i < half; ++i) {
                   after |= (state >> (aside + i) & 1U) << place_of(i);
                 }
                 for (unsigned i = half; i < count; ++i) {
                   after |= next_of(i, state, facts) << place_of(i);
                 }
                 return after;
               }};
  if (split) {
    made.before = [=](std::uint32_t state, const logic::Facts& facts) {
      std::uint32_t kept = state;
      for (unsigned i = 0; i < half; ++i) kept |= next_of(i, state, facts) << (aside + i);
      return kept;
    };
  }
  return made;
}

std::string RandomMachine::property() const {
  const std::string text = text_of(*this, claim, static_cast<unsigned>(claim.size() - 1));
  return claim.back().op == Op::at_start ? text : "always (" + text + ")";
}

RandomMachine random_machine(std::uint64_t seed) {
  Dice dice(seed);
  RandomMachine m;
  m.bits = 3 + dice(7);
  m.initial = dice(1U << m.bits);
  m.split = dice(2) == 0;
  std::vector<Fact> left(free_facts.begin(), free_facts.end());
  for (unsigned n = 1 + dice(4); n > 0; --n) {
    const auto drawn = left.begin() + dice(static_cast<unsigned>(left.size()));
    m.facts.push_back(*drawn);
    left.erase(drawn);
  }
  const auto facts = static_cast<unsigned>(m.facts.size());
  Gardener next(dice, m.bits, facts);
  const bool counts = dice(2) == 0;
  for (unsigned i = 0; i < m.bits; ++i) {
    m.next.push_back(counts && dice(4) != 0 ? next.counting(i) : next.boolean(1 + dice(3)));
  }
  m.claim = Gardener(dice, std::min(m.bits, shown_bits), facts).temporal(2 + dice(2));
  return m;
}

}  // namespace ovenproof::prove::test
