#pragma once

#include <chrono>
#include <cstdint>
#include <string>
#include <vector>

#include "sim/properties/property.hpp"
#include "sim/properties/units.hpp"

/// A property after names, units and time bounds have been checked. Private to this library.
namespace ovenproof::properties {

using ExpressionId = std::uint32_t;
using ConditionId = std::uint32_t;

/// A numeric expression. Operands are of one unit wherever that matters: `rescale` nodes were put
/// in where they were not.
struct Expression {
  enum class Kind : std::uint8_t {
    constant,
    signal,
    add,
    subtract,
    multiply,
    divide,
    negate,
    absolute,
    least,
    greatest,
    rescale,  ///< left * up / down + shift
  };

  Kind kind = Kind::constant;
  double value = 0.0;        ///< of a constant
  std::uint32_t signal = 0;  ///< column of the row
  ExpressionId left = 0;
  ExpressionId right = 0;
  double up = 1.0;
  double down = 1.0;
  double shift = 0.0;
};

enum class Relation : std::uint8_t { less, at_most, greater, at_least, equal, unequal };

/// A condition, true or false at each scan. `never P` is `always not P`, `falls(P)` is
/// `rises(not P)`.
struct Condition {
  enum class Kind : std::uint8_t {
    constant,
    comparison,
    member,   ///< a boolean or state signal has one of a set of values
    changed,  ///< the signal differs from its value in the scan before
    negation,
    conjunction,
    disjunction,
    implication,
    always,
    eventually,
    until,
    historically,
    once,
    since,
    held_for,
    rises,
    at_start,
    at_end,
    after,  ///< operands: event, response
  };

  Kind kind = Kind::constant;
  Span span;
  std::vector<ConditionId> operands;

  // comparison
  Relation relation = Relation::less;
  ExpressionId left = 0;
  ExpressionId right = 0;
  Unit unit;         ///< in which both sides are evaluated
  Unit margin_unit;  ///< in which the margin is told

  // member, changed, constant
  std::uint32_t signal = 0;
  std::uint64_t values = 0;      ///< bit i: value i belongs to the set; bit 0 of a constant
  std::uint64_t all_values = 0;  ///< bits of all values the signal can have

  // temporal
  bool bounded = false;
  std::uint32_t from = 0;  ///< scans
  std::uint32_t to = 0;    ///< scans
  std::int64_t to_ns = 0;  ///< the upper bound as written
  Unit duration_unit;      ///< of the upper bound as written
};

struct MarginKind {
  Dimension dimension;
  Unit unit;
};

struct Formula {
  std::string text;
  std::chrono::nanoseconds period{};
  std::size_t row_width = 0;
  std::vector<Expression> expressions;
  std::vector<Condition> conditions;
  ConditionId root = 0;
  std::vector<MarginKind> margins;  ///< at least one

  [[nodiscard]] const Condition& operator[](ConditionId id) const { return conditions[id]; }
};

/// The quantities whose margin says most about the condition, in the order of the text: what an
/// `implies` concludes rather than what it assumes, the time of a deadline, the compared quantity
/// of a comparison. Empty if it speaks of truth alone.
[[nodiscard]] std::vector<MarginKind> judged_quantities(const Formula& formula, ConditionId id);

/// Whether a margin in time can be told within the condition, short of counting how long it was
/// violated.
[[nodiscard]] bool tells_time(const Formula& formula, ConditionId id);

/// `always (A implies eventually within T P)`, which is judged as `within T after` each scan with
/// A: then the lateness is known however late the response comes.
[[nodiscard]] bool is_response(const Formula& formula, const Condition& condition);

}  // namespace ovenproof::properties
