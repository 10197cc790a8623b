#include "sim/properties/formula.hpp"

#include <algorithm>

namespace ovenproof::properties {
namespace {

using Kind = Condition::Kind;

void add(std::vector<MarginKind>& list, MarginKind kind) {
  const auto same = [&](const MarginKind& k) { return k.dimension == kind.dimension; };
  if (std::none_of(list.begin(), list.end(), same)) list.push_back(std::move(kind));
}

/// `once within T P`, without a gap before now.
bool is_recent(const Condition& condition) {
  return condition.kind == Kind::once && condition.bounded && condition.from == 0;
}

}  // namespace

bool is_response(const Formula& formula, const Condition& condition) {
  if (condition.kind != Kind::always || condition.bounded) return false;
  const Condition& body = formula[condition.operands[0]];
  if (body.kind != Kind::implication) return false;
  const Condition& goal = formula[body.operands[1]];
  return goal.kind == Kind::eventually && goal.bounded && goal.from == 0;
}

std::vector<MarginKind> judged_quantities(const Formula& formula, ConditionId id) {
  const Condition& c = formula[id];
  std::vector<MarginKind> result;
  switch (c.kind) {
    case Kind::constant:
    case Kind::member:
    case Kind::changed:
    case Kind::rises:
      return {};
    case Kind::comparison:
      return {{c.margin_unit.dimension, c.margin_unit}};
    case Kind::held_for:
    case Kind::after:
      return {{time_dimension, c.duration_unit}};
    case Kind::once:
      if (is_recent(c)) return {{time_dimension, c.duration_unit}};
      break;
    case Kind::always:
      if (is_response(formula, c)) {
        const Condition& goal = formula[formula[c.operands[0]].operands[1]];
        return {{time_dimension, goal.duration_unit}};
      }
      break;
    case Kind::implication:
      result = judged_quantities(formula, c.operands[1]);
      return result.empty() ? judged_quantities(formula, c.operands[0]) : result;
    default:
      break;
  }
  for (const ConditionId operand : c.operands) {
    for (MarginKind& kind : judged_quantities(formula, operand)) add(result, std::move(kind));
  }
  return result;
}

bool tells_time(const Formula& formula, ConditionId id) {
  const Condition& c = formula[id];
  if (c.kind == Kind::held_for || c.kind == Kind::after || is_recent(c)) return true;
  if (c.kind == Kind::comparison) return c.margin_unit.dimension == time_dimension;
  return std::any_of(c.operands.begin(), c.operands.end(),
                     [&](ConditionId operand) { return tells_time(formula, operand); });
}

}  // namespace ovenproof::properties
