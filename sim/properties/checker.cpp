#include "sim/properties/checker.hpp"

#include <algorithm>
#include <utility>

#include "sim/properties/tokens.hpp"

namespace ovenproof::properties {
namespace {

using Kind = Condition::Kind;

constexpr std::string_view what_must_hold =
    "a statement: `always`, `never`, `eventually`, `within T after E: P`, `P until Q`, "
    "`at_start` or `at_end`";

bool is_connective(Syntax kind) {
  return kind == Syntax::negation || kind == Syntax::conjunction || kind == Syntax::disjunction ||
         kind == Syntax::implication;
}

Kind connective(Syntax kind) {
  switch (kind) {
    case Syntax::negation:
      return Kind::negation;
    case Syntax::conjunction:
      return Kind::conjunction;
    case Syntax::disjunction:
      return Kind::disjunction;
    default:
      return Kind::implication;
  }
}

/// Operators that speak of the whole run, and so can only stand outermost.
bool is_statement(const SyntaxNode& node) {
  switch (node.kind) {
    case Syntax::at_start:
    case Syntax::at_end:
    case Syntax::after:
      return true;
    case Syntax::always:
    case Syntax::never:
    case Syntax::eventually:
    case Syntax::until:
      return true;
    default:
      return false;
  }
}

}  // namespace

Checker::Checker(const SyntaxTree& tree, std::string_view text, const SignalTable& table,
                 std::chrono::nanoseconds period, std::vector<Diagnostic>& errors)
    : tree_(tree), text_(text), table_(table), period_(period), errors_(errors) {}

Formula Checker::run() {
  formula_.text = text_;
  formula_.period = period_;
  formula_.row_width = table_.signals().size();
  for (const SyntaxId root : tree_.roots) formula_.root = top(root);
  if (errors_.empty()) choose_margins(formula_);
  return std::move(formula_);
}

void Checker::report(Span span, std::string expected, std::string found) {
  errors_.push_back({span, position_of(text_, span.begin), std::move(expected), std::move(found)});
}

std::string_view Checker::slice(Span span) const {
  return text_.substr(span.begin, span.end - span.begin);
}

ConditionId Checker::add(Condition condition) {
  formula_.conditions.push_back(std::move(condition));
  return static_cast<ConditionId>(formula_.conditions.size() - 1);
}

/// A statement, or statements joined by connectives.
ConditionId Checker::top(SyntaxId id) {
  const SyntaxNode& node = tree_[id];
  if (is_connective(node.kind)) {
    Condition c;
    c.kind = connective(node.kind);
    c.span = node.span;
    for (const SyntaxId operand : node.operands) c.operands.push_back(top(operand));
    return add(std::move(c));
  }
  if (is_statement(node)) return temporal(id, Place::top);
  const std::size_t before = errors_.size();
  const ConditionId found = condition(id);
  if (errors_.size() == before && node.kind != Syntax::error) {
    report(node.span, std::string(what_must_hold),
           node.kind == Syntax::truth ? "`" + std::string(slice(node.span)) + "`"
                                      : "a condition that does not say when");
  }
  return found;
}

ConditionId Checker::condition(SyntaxId id) {
  const Typed typed = check(id);
  if (const auto* found = std::get_if<ConditionId>(&typed)) return *found;
  if (!std::holds_alternative<Failed>(typed)) {
    report(tree_[id].span, "a condition, such as a comparison", describe(typed));
  }
  return add({});  // stands in; never used once an error was reported
}

Checker::Typed Checker::check(SyntaxId id) {
  const SyntaxNode& node = tree_[id];
  const auto value = [](std::optional<Quantity> quantity) -> Typed {
    if (quantity) return *std::move(quantity);
    return Failed{};
  };
  Condition c;
  c.span = node.span;
  switch (node.kind) {
    case Syntax::error:
      return Failed{};
    case Syntax::name:
      return name(node);
    case Syntax::number:
      return value(number(node, false));
    case Syntax::negative:
      return value(negative(node));
    case Syntax::arithmetic:
      return value(arithmetic(node));
    case Syntax::call:
      return value(call(node));
    case Syntax::compare:
      return comparison(id);
    case Syntax::member:
      return member(id);
    case Syntax::changes:
      return changes(id);
    case Syntax::truth:
      c.values = slice(node.word) == "true" ? 1 : 0;
      c.all_values = 1;
      return add(std::move(c));
    case Syntax::negation:
    case Syntax::conjunction:
    case Syntax::disjunction:
    case Syntax::implication:
      c.kind = connective(node.kind);
      for (const SyntaxId operand : node.operands) c.operands.push_back(condition(operand));
      return add(std::move(c));
    case Syntax::rises:
    case Syntax::falls: {
      ConditionId operand = condition(node.operands[0]);
      if (node.kind == Syntax::falls) {
        Condition inverse;
        inverse.kind = Kind::negation;
        inverse.span = node.span;
        inverse.operands = {operand};
        operand = add(std::move(inverse));
      }
      c.kind = Kind::rises;
      c.operands = {operand};
      return add(std::move(c));
    }
    default:
      return temporal(id, Place::inside);
  }
}

ConditionId Checker::temporal(SyntaxId id, Place place) {
  const SyntaxNode& node = tree_[id];
  const bool future = node.kind == Syntax::always || node.kind == Syntax::never ||
                      node.kind == Syntax::eventually || node.kind == Syntax::until;
  const std::string word = "`" + std::string(slice(node.word)) + "`";
  if (place == Place::inside && is_statement(node)) {
    if (future && node.bound == Bound::none) {
      report(node.word,
             "a time bound on " + word + " inside another operator, such as `" +
                 std::string(slice(node.word)) +
                 (node.kind == Syntax::always || node.kind == Syntax::never ? " for" : " within") +
                 " 5 s` (or parentheses, if two statements were meant)",
             word + " without a bound");
    } else if (!future) {
      report(node.word, "a condition (" + word + " is a statement of its own and stands outermost)",
             word);
    }
  }
  Condition c;
  c.span = node.span;
  for (const SyntaxId operand : node.operands) c.operands.push_back(condition(operand));
  switch (node.kind) {
    case Syntax::always:
    case Syntax::never:
      c.kind = Kind::always;
      break;
    case Syntax::eventually:
      c.kind = Kind::eventually;
      break;
    case Syntax::until:
      c.kind = Kind::until;
      break;
    case Syntax::once:
      c.kind = Kind::once;
      break;
    case Syntax::historically:
      c.kind = Kind::historically;
      break;
    case Syntax::since:
      c.kind = Kind::since;
      break;
    case Syntax::held_for:
      c.kind = Kind::held_for;
      break;
    case Syntax::at_start:
      c.kind = Kind::at_start;
      break;
    case Syntax::at_end:
      c.kind = Kind::at_end;
      break;
    default:
      c.kind = Kind::after;
      break;
  }
  if (node.kind == Syntax::never) {
    Condition inverse;
    inverse.kind = Kind::negation;
    inverse.span = c.span;
    inverse.operands = c.operands;
    c.operands = {add(std::move(inverse))};
  }
  set_bounds(node, c);
  return add(std::move(c));
}

void Checker::set_bounds(const SyntaxNode& node, Condition& result) {
  const bool duration_of_its_own = node.kind == Syntax::held_for || node.kind == Syntax::after;
  if (node.bound == Bound::none && !duration_of_its_own) return;
  const bool whole = node.kind == Syntax::always || node.kind == Syntax::never ||
                     node.kind == Syntax::historically;
  const std::string word(slice(node.word));
  if (node.bound == Bound::within && whole) {
    report(tree_[node.to].span, "`" + word + " for T` or `" + word + " [T1, T2]`", "`within`");
  } else if (node.bound == Bound::for_ && !whole) {
    report(tree_[node.to].span, "`" + word + " within T` or `" + word + " [T1, T2]`", "`for`");
  }
  const std::optional<Duration> to = duration(node.to);
  const std::optional<Duration> from =
      node.bound == Bound::range ? duration(node.from) : Duration{0, {}};
  if (!to || !from) return;
  const std::int64_t period = period_.count();
  result.bounded = true;
  result.to_ns = to->ns;
  result.duration_unit = to->unit;
  // A window reaches the scans whose instants lie in it; a length is reached by the first scan that
  // is not before it.
  const std::int64_t first = (from->ns + period - 1) / period;
  const std::int64_t last =
      node.kind == Syntax::held_for ? (to->ns + period - 1) / period : to->ns / period;
  constexpr std::int64_t most_scans = 1'000'000'000;
  if (last > most_scans) {
    report(tree_[node.to].span, "a duration of at most 1000000000 scans",
           std::to_string(last) + " scans");
  } else if (from->ns > to->ns) {
    report(tree_[node.to].span, "an upper bound that is not below the lower bound",
           "`" + std::string(slice(tree_[node.to].span)) + "`");
  } else if (first > last) {
    report(tree_[node.to].span, "bounds with at least one scan between them",
           "none (a scan every " + std::to_string(period) + " ns)");
  } else {
    result.from = static_cast<std::uint32_t>(first);
    result.to = static_cast<std::uint32_t>(last);
  }
}

ConditionId Checker::comparison(SyntaxId id) {
  const SyntaxNode& node = tree_[id];
  const std::string_view mark = slice(node.word);
  const SyntaxId left_id = node.operands[0];
  const SyntaxId right_id = node.operands[1];
  const Typed left_typed = check(left_id);
  if (const auto* state = std::get_if<State>(&left_typed)) {
    return state_comparison(node, state->signal, right_id);
  }
  Condition c;
  c.kind = Kind::comparison;
  c.span = node.span;
  if (std::holds_alternative<ConditionId>(left_typed)) {
    report(tree_[left_id].span,
           "a value or a state beside `" + std::string(mark) +
               "` (conditions are joined by "
               "`and`, `or`, `implies`, `not`)",
           "a condition");
    check(right_id);
    return add(std::move(c));
  }
  std::optional<Quantity> right = quantity(right_id);
  const auto* left_value = std::get_if<Quantity>(&left_typed);
  if (left_value == nullptr || !right) return add(std::move(c));
  Quantity left = *left_value;
  const Unit written = right->literal ? right->unit : left.unit;
  if (!reconcile(left_id, right_id, left, *right)) return add(std::move(c));
  c.relation = mark == "<"    ? Relation::less
               : mark == "<=" ? Relation::at_most
               : mark == ">"  ? Relation::greater
               : mark == ">=" ? Relation::at_least
               : mark == "="  ? Relation::equal
                              : Relation::unequal;
  c.left = left.expression;
  c.right = right->expression;
  c.unit = left.unit;
  c.margin_unit = difference_unit(written);
  return add(std::move(c));
}

std::uint64_t Checker::label_bit(const SignalInfo& signal, Span label) {
  const auto found = std::find(signal.labels.begin(), signal.labels.end(), slice(label));
  if (found != signal.labels.end()) {
    return std::uint64_t{1} << static_cast<unsigned>(found - signal.labels.begin());
  }
  std::string known;
  for (const std::string& name : signal.labels) known += (known.empty() ? "`" : ", `") + name + "`";
  report(label, "a label of `" + signal.name + "`: " + known, quoted_token(text_, label.begin));
  return 0;
}

ConditionId Checker::state_comparison(const SyntaxNode& node, std::uint32_t column,
                                      SyntaxId label) {
  const SignalInfo& signal = table_.signals()[column];
  const std::string_view mark = slice(node.word);
  Condition c;
  c.kind = Kind::member;
  c.span = node.span;
  c.signal = column;
  c.all_values = ~std::uint64_t{0} >> (64 - signal.labels.size());
  if (mark != "=" && mark != "!=") {
    report(node.word, "`=`, `!=` or `in` with a state", "`" + std::string(mark) + "`");
  } else if (tree_[label].kind != Syntax::name) {
    if (tree_[label].kind != Syntax::error) {
      label_bit(signal, tree_[label].span);
    }
  } else {
    c.values = label_bit(signal, tree_[label].span);
    if (mark == "!=") c.values = c.all_values & ~c.values;
  }
  return add(std::move(c));
}

ConditionId Checker::member(SyntaxId id) {
  const SyntaxNode& node = tree_[id];
  Condition c;
  c.kind = Kind::member;
  c.span = node.span;
  const Typed typed = check(node.operands[0]);
  if (const auto* state = std::get_if<State>(&typed)) {
    const SignalInfo& signal = table_.signals()[state->signal];
    c.signal = state->signal;
    c.all_values = ~std::uint64_t{0} >> (64 - signal.labels.size());
    for (const Span label : node.labels) c.values |= label_bit(signal, label);
  } else if (!std::holds_alternative<Failed>(typed)) {
    report(tree_[node.operands[0]].span, "a state before `in`", describe(typed));
  }
  return add(std::move(c));
}

ConditionId Checker::changes(SyntaxId id) {
  const SyntaxNode& node = tree_[id];
  const SyntaxNode& operand = tree_[node.operands[0]];
  Condition c;
  c.kind = Kind::changed;
  c.span = node.span;
  const auto index =
      operand.kind == Syntax::name ? table_.find_signal(slice(operand.span)) : std::nullopt;
  if (index) {
    c.signal = static_cast<std::uint32_t>(*index);
  } else if (operand.kind == Syntax::name && !table_.find_constant(slice(operand.span))) {
    name(operand);
  } else if (operand.kind != Syntax::error) {
    report(operand.span, "the name of a signal", "an expression");
  }
  return add(std::move(c));
}

void Checker::choose_margins(Formula& formula) {
  formula.margins = judged_quantities(formula, formula.root);
  if (tree_.margin_unit.begin != tree_.margin_unit.end) {
    const std::optional<Unit> unit = parse_unit(slice(tree_.margin_unit));
    const auto matches = [&](const Condition& c) {
      return c.kind == Kind::comparison && unit && c.margin_unit.dimension == unit->dimension;
    };
    const bool known =
        unit && (unit->dimension == time_dimension ||
                 std::any_of(formula.conditions.begin(), formula.conditions.end(), matches));
    if (!known || unit->reading == Reading::point) {
      report(tree_.margin_unit, "a unit of time, or of a difference of what the property compares",
             "`" + std::string(slice(tree_.margin_unit)) + "`");
      return;
    }
    formula.margins = {{unit->dimension, difference_unit(*unit)}};
  }
  if (formula.margins.empty()) formula.margins = {{time_dimension, *parse_unit("ms")}};
}

}  // namespace ovenproof::properties
