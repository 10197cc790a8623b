#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "sim/properties/formula.hpp"
#include "sim/properties/margin_key.hpp"

/// Properties compiled into one flat list of nodes, in an order in which operands come first.
/// Private to this library.
///
/// All conditions are in negation normal form: `not` has been pushed down to the comparisons, and
/// every operator exists once, working on keys that are flipped (~key) where its dual is meant. So
/// each node grows with each of its operands, which is what makes it sound to put the worst or the
/// best possible value in place of one that is not known.
namespace ovenproof::properties {

using NodeId = std::uint32_t;
using SlotId = std::uint32_t;
inline constexpr NodeId no_node = UINT32_MAX;

enum class Op : std::uint8_t {
  // arithmetic: operands and result are slots
  add,
  subtract,
  multiply,
  divide,
  negate,
  absolute,
  least,
  greatest,
  rescale,
  // leaves: operands are slots, the result is a value
  at_least,
  greater,
  equal,
  unequal,
  member,
  changed,
  constant,
  // operators: operands are nodes. Named for what they do where keys are not flipped.
  either,  ///< a or b
  delay,   ///< a, `width` scans ago
  window,  ///< a held at some scan of the last `width`, or now
  since,   ///< a held once, and b ever after
  window_since,
  until,   ///< within `width` scans a, and b up to then
  held,    ///< for how long a has held, less the limit
  recent,  ///< the limit, less for how long a has not held
  // verdicts over the run: operands are nodes
  worst,      ///< least a
  until_end,  ///< a came, and b held up to then
  at_start,
  at_end,
  stretch,  ///< longest time that a did not hold
  respond,  ///< longest time from `not a` to b, against the limit
};

struct Dependents {
  std::uint32_t begin = 0;
  std::uint32_t end = 0;
};

/// Nodes to be evaluated again, 64 to a word.
struct Mark {
  std::uint32_t word = 0;
  std::uint64_t bits = 0;
};

inline constexpr std::uint32_t no_watch = UINT32_MAX;

struct Node {
  // What every evaluation reads comes first, in one cache line.
  Op op = Op::constant;
  bool graded = false;    ///< the key is a distance, not only true or false (leaf, either)
  bool scaled = false;    ///< leaf: the distance is to be converted to the margin's unit
  bool whole = false;     ///< window: scans before the first count as false; since: b is always
  bool b_sleeps = false;  ///< either: b need not be looked at while a is certain
  Key flip = 0;           ///< 0 or -1
  std::uint32_t a = 0;
  std::uint32_t b = 0;
  std::uint32_t delay = 0;  ///< at scan n the value is that for scan n - delay
  std::uint32_t slot = 0;   ///< of the state that its operator keeps
  Dependents dependents;
  /// Leaf: the only verdict it can reach, if that is a `worst`; else no_node.
  NodeId verdict = no_node;
  std::uint32_t width = 0;           ///< scans
  std::uint32_t watch_a = no_watch;  ///< on the slot of an operand that is not a constant
  std::uint32_t watch_b = no_watch;
  Dependents watchers;  ///< of an arithmetic result

  std::uint32_t ingest = 0;  ///< first scan at which the operands mean anything
  SlotId out = 0;            ///< of an arithmetic result
  double up = 1.0;           ///< rescale; a leaf's margin is distance * up / down
  double down = 1.0;
  double shift = 0.0;
  std::uint64_t values = 0;  ///< member, constant
  std::uint64_t all_values = 0;
  std::int64_t limit_ns = 0;
  double unit_ns = 1.0;
};

struct SignalUse {
  std::uint32_t column = 0;
  SlotId slot = 0;
  Dependents watchers;
};

/// How the verdict nodes of one property combine.
struct Judgement {
  enum class Kind : std::uint8_t { leaf, all, any };
  Kind kind = Kind::leaf;
  NodeId node = 0;
  std::vector<std::uint32_t> parts;
};

struct MarginPlan {
  std::uint32_t judgement = 0;
  MarginKind kind;
};

struct PropertyPlan {
  std::vector<MarginPlan> margins;
  std::vector<NodeId> occasions;                ///< verdict nodes: did what it speaks of happen?
  std::vector<std::pair<NodeId, Span>> places;  ///< where in its text a node comes from
};

struct Program {
  std::int64_t period_ns = 0;
  std::size_t row_width = 0;
  std::uint32_t greatest_delay = 0;
  std::vector<Node> nodes;
  std::vector<Mark> marks;
  std::vector<NodeId> watchers;  ///< the node behind each watch; those of one slot are neighbours
  std::vector<SignalUse> signals;
  std::vector<double> slots;                                  ///< constants in place
  std::vector<std::pair<std::uint32_t, NodeId>> activations;  ///< scan of `ingest`, ascending
  std::vector<Judgement> judgements;
  std::vector<PropertyPlan> properties;
  std::uint32_t windows = 0;  ///< numbers of states of each sort
  std::uint32_t delays = 0;
  std::uint32_t untils = 0;
  std::uint32_t clocks = 0;
};

[[nodiscard]] constexpr bool is_arithmetic(Op op) { return op <= Op::rescale; }
[[nodiscard]] constexpr bool is_leaf(Op op) { return op > Op::rescale && op <= Op::constant; }

/// The program of all `properties`, which agree in period and row width. What they share is
/// computed once.
[[nodiscard]] Program build_program(const std::vector<const Formula*>& formulas);

}  // namespace ovenproof::properties
