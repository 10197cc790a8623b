#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>
#include <utility>

#include "sim/properties/checker.hpp"
#include "sim/properties/tokens.hpp"

namespace ovenproof::properties {
namespace {

/// Steps of insertion, deletion and substitution between two short names.
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = std::exchange(row[0], i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t substituted = diagonal + (a[i - 1] != b[j - 1]);
      diagonal = row[j];
      row[j] = std::min({substituted, row[j] + 1, row[j - 1] + 1});
    }
  }
  return row.back();
}

std::string nearest_name(std::string_view name, const SignalTable& table) {
  if (name.size() > 80) return {};
  std::size_t best = 1 + name.size() / 3;
  std::string result;
  const auto consider = [&](const std::string& candidate) {
    if (candidate.size() > 80) return;
    const std::size_t distance = edit_distance(name, candidate);
    if (distance < best) {
      best = distance;
      result = candidate;
    }
  };
  for (const SignalInfo& signal : table.signals()) consider(signal.name);
  for (const ConstantInfo& constant : table.constants()) consider(constant.name);
  return result;
}

double apply(const Expression& e, double a, double b) {
  using Kind = Expression::Kind;
  switch (e.kind) {
    case Kind::add:
      return a + b;
    case Kind::subtract:
      return a - b;
    case Kind::multiply:
      return a * b;
    case Kind::divide:
      return a / b;
    case Kind::negate:
      return -a;
    case Kind::absolute:
      return std::fabs(a);
    case Kind::least:
      return b < a || b != b ? b : a;
    case Kind::greatest:
      return b > a || b != b ? b : a;
    case Kind::rescale:
      return a * e.up / e.down + e.shift;
    default:
      return e.value;
  }
}

}  // namespace

std::string Checker::describe(const Unit& unit) {
  const std::string symbol = unit.symbol == "1" ? "" : " (" + unit.symbol + ")";
  if (unit.dimension == number_dimension) return "a plain number";
  if (unit.dimension == temperature_dimension && unit.reading == Reading::plain) {
    return "a temperature difference" + symbol;
  }
  const std::string noun = dimension_name(unit.dimension);
  const bool vowel = noun.find_first_of("aeiou") == 0;
  return (vowel ? "an " : "a ") + noun + symbol;
}

std::string Checker::describe(const Typed& typed) const {
  if (std::holds_alternative<ConditionId>(typed)) return "a condition";
  if (const auto* quantity = std::get_if<Quantity>(&typed)) return describe(quantity->unit);
  if (const auto* state = std::get_if<State>(&typed)) {
    return "the state `" + table_.signals()[state->signal].name + "`";
  }
  return "a mistake";
}

Checker::Typed Checker::name(const SyntaxNode& node) {
  const std::string_view text = slice(node.span);
  if (const auto index = table_.find_signal(text)) {
    const SignalInfo& signal = table_.signals()[*index];
    const auto column = static_cast<std::uint32_t>(*index);
    if (signal.kind == SignalKind::state) return State{column};
    if (signal.kind == SignalKind::boolean) {
      Condition c;
      c.kind = Condition::Kind::member;
      c.span = node.span;
      c.signal = column;
      c.values = 2;
      c.all_values = 3;
      return add(std::move(c));
    }
    Expression e;
    e.kind = Expression::Kind::signal;
    e.signal = column;
    return Quantity{fold(e), signal.unit, false};
  }
  if (const auto index = table_.find_constant(text)) {
    const ConstantInfo& constant = table_.constants()[*index];
    Expression e;
    e.value = constant.value;
    return Quantity{fold(e), constant.unit, true};
  }
  const std::string near = nearest_name(text, table_);
  report(node.span,
         near.empty() ? "the name of a signal or constant" : "a known name such as `" + near + "`",
         quoted_token(text_, node.span.begin));
  return Failed{};
}

std::optional<Checker::Quantity> Checker::quantity(SyntaxId id) {
  const Typed typed = check(id);
  if (const auto* found = std::get_if<Quantity>(&typed)) return *found;
  if (!std::holds_alternative<Failed>(typed)) {
    report(tree_[id].span, "a value with a unit", describe(typed));
  }
  return std::nullopt;
}

std::optional<Checker::Quantity> Checker::number(const SyntaxNode& node, bool negative) {
  const std::string_view digits = slice(node.word);
  Expression e;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), e.value);
  if (error != std::errc{} || end != digits.data() + digits.size() || !std::isfinite(e.value)) {
    report(node.word, "a number that a double can hold", "`" + std::string(digits) + "`");
    return std::nullopt;
  }
  if (negative) e.value = -e.value;
  const std::size_t unit_begin = skip_space(text_, node.word.end);
  const std::string_view symbol =
      node.span.end > unit_begin ? slice({unit_begin, node.span.end}) : std::string_view{};
  std::optional<Unit> unit = parse_unit(symbol);
  if (!unit || symbol == "1") {
    report({unit_begin, node.span.end}, symbol == "1" ? "a unit" : "a known unit",
           "`" + std::string(symbol) + "`");
    return std::nullopt;
  }
  return Quantity{fold(e), *std::move(unit), true};
}

std::optional<Checker::Quantity> Checker::negative(const SyntaxNode& node) {
  const SyntaxNode& operand = tree_[node.operands[0]];
  if (operand.kind == Syntax::number) return number(operand, true);
  std::optional<Quantity> value = quantity(node.operands[0]);
  if (!value) return std::nullopt;
  if (value->unit.reading == Reading::point) {
    report(operand.span, "a temperature difference after `-`", describe(value->unit));
    return std::nullopt;
  }
  Expression e;
  e.kind = Expression::Kind::negate;
  e.left = value->expression;
  value->expression = fold(e);
  return value;
}

ExpressionId Checker::fold(Expression e) {
  using Kind = Expression::Kind;
  auto& pool = formula_.expressions;
  const auto constant = [&](ExpressionId id) { return pool[id].kind == Kind::constant; };
  const bool leaf = e.kind == Kind::constant || e.kind == Kind::signal;
  const bool one_operand =
      e.kind == Kind::negate || e.kind == Kind::absolute || e.kind == Kind::rescale;
  if (!leaf && constant(e.left) && (one_operand || constant(e.right))) {
    Expression folded;
    folded.value = apply(e, pool[e.left].value, pool[e.right].value);
    e = folded;
  }
  pool.push_back(e);
  return static_cast<ExpressionId>(pool.size() - 1);
}

ExpressionId Checker::rescaled(const Quantity& from, const Unit& to, bool point) {
  Expression e;
  e.kind = Expression::Kind::rescale;
  e.left = from.expression;
  e.up = from.unit.numerator * to.denominator;
  e.down = from.unit.denominator * to.numerator;
  if (e.up == e.down) e.up = e.down = 1.0;
  if (point) e.shift = (from.unit.offset - to.offset) * (to.denominator / to.numerator);
  if (e.up == e.down && e.shift == 0.0) return from.expression;
  return fold(e);
}

/// Brings both sides to one unit and one reading, that of the left unless only the right is no
/// literal. Reports and returns false if that cannot be.
bool Checker::reconcile(SyntaxId, SyntaxId right_id, Quantity& left, Quantity& right) {
  const auto mismatch = [&](const std::string& expected) {
    report(tree_[right_id].span, expected, describe(right.unit));
    return false;
  };
  if (left.unit.dimension != right.unit.dimension) {
    Unit wanted = left.unit;
    return mismatch(describe(wanted));
  }
  Reading& a = left.unit.reading;
  Reading& b = right.unit.reading;
  if (a == Reading::either) a = b == Reading::either ? Reading::plain : b;
  if (b == Reading::either) b = a;
  if (a != b) return mismatch(describe(left.unit));
  const bool point = a == Reading::point;
  if (left.literal && !right.literal) {
    left.expression = rescaled(left, right.unit, point);
    left.unit = right.unit;
  } else {
    right.expression = rescaled(right, left.unit, point);
    right.unit = left.unit;
  }
  return true;
}

std::optional<Checker::Quantity> Checker::sum(const SyntaxNode& node, bool subtract) {
  std::optional<Quantity> left = quantity(node.operands[0]);
  std::optional<Quantity> right = quantity(node.operands[1]);
  if (!left || !right) return std::nullopt;
  const Span right_span = tree_[node.operands[1]].span;
  if (left->unit.dimension != right->unit.dimension) {
    report(right_span, describe(left->unit), describe(right->unit));
    return std::nullopt;
  }
  Reading& a = left->unit.reading;
  Reading& b = right->unit.reading;
  // A literal in K beside a point is a step up or down from it.
  if (a == Reading::either) a = b == Reading::point && !subtract ? Reading::plain : b;
  if (a == Reading::either) a = Reading::plain;
  if (b == Reading::either) b = Reading::plain;
  if (a == Reading::point && b == Reading::point && !subtract) {
    report(right_span, "a temperature difference (K)", describe(right->unit));
    return std::nullopt;
  }
  if (a == Reading::plain && b == Reading::point && subtract) {
    report(right_span, describe(left->unit), describe(right->unit));
    return std::nullopt;
  }
  const bool points = a == Reading::point && b == Reading::point;
  const bool by_right = b == Reading::point && a == Reading::plain;
  Expression e;
  e.kind = subtract ? Expression::Kind::subtract : Expression::Kind::add;
  Unit unit = by_right || (left->literal && !right->literal && a == b) ? right->unit : left->unit;
  e.left = rescaled(*left, unit, points);
  e.right = rescaled(*right, unit, points);
  if (points) unit = difference_unit(unit);
  return Quantity{fold(e), std::move(unit), left->literal && right->literal};
}

std::optional<Checker::Quantity> Checker::product(const SyntaxNode& node, bool divide) {
  std::optional<Quantity> left = quantity(node.operands[0]);
  std::optional<Quantity> right = quantity(node.operands[1]);
  if (!left || !right) return std::nullopt;
  bool good = true;
  for (const auto& [side, id] :
       {std::pair{&*left, node.operands[0]}, std::pair{&*right, node.operands[1]}}) {
    if (side->unit.reading != Reading::point) continue;
    report(tree_[id].span, "a temperature difference (K) in a product", describe(side->unit));
    good = false;
  }
  if (!good) return std::nullopt;
  // A ratio of like quantities is a number only if both are in one unit.
  if (divide && left->unit.dimension == right->unit.dimension) {
    right->expression = rescaled(*right, left->unit, false);
    right->unit = left->unit;
  }
  std::optional<Unit> unit = product_unit(left->unit, right->unit, divide);
  if (!unit) {
    report(node.span, "a quantity of a moderate power", "exponents beyond 100");
    return std::nullopt;
  }
  if (unit->dimension == number_dimension && unit->numerator == unit->denominator) {
    unit->symbol = "1";
  }
  Expression e;
  e.kind = divide ? Expression::Kind::divide : Expression::Kind::multiply;
  e.left = left->expression;
  e.right = right->expression;
  return Quantity{fold(e), *std::move(unit), left->literal && right->literal};
}

std::optional<Checker::Quantity> Checker::arithmetic(const SyntaxNode& node) {
  switch (slice(node.word).front()) {
    case '+':
      return sum(node, false);
    case '-':
      return sum(node, true);
    case '*':
      return product(node, false);
    default:
      return product(node, true);
  }
}

std::optional<Checker::Quantity> Checker::call(const SyntaxNode& node) {
  const std::string_view word = slice(node.word);
  std::optional<Quantity> left = quantity(node.operands[0]);
  Expression e;
  if (word == "abs") {
    if (!left) return std::nullopt;
    if (left->unit.reading == Reading::point) {
      report(tree_[node.operands[0]].span, "a temperature difference (K)", describe(left->unit));
      return std::nullopt;
    }
    e.kind = Expression::Kind::absolute;
    e.left = left->expression;
    left->expression = fold(e);
    return left;
  }
  std::optional<Quantity> right = quantity(node.operands[1]);
  if (!left || !right) return std::nullopt;
  if (!reconcile(node.operands[0], node.operands[1], *left, *right)) return std::nullopt;
  e.kind = word == "min" ? Expression::Kind::least : Expression::Kind::greatest;
  e.left = left->expression;
  e.right = right->expression;
  return Quantity{fold(e), left->unit, left->literal && right->literal};
}

std::optional<Checker::Duration> Checker::duration(SyntaxId id) {
  const SyntaxNode& node = tree_[id];
  if (node.kind == Syntax::error) return std::nullopt;
  const Typed typed = check(id);
  if (std::holds_alternative<Failed>(typed)) return std::nullopt;
  const auto* value = std::get_if<Quantity>(&typed);
  if (value == nullptr || !value->literal || value->unit.dimension != time_dimension) {
    report(node.span, "a duration such as `200 ms`",
           value && !value->literal ? "a signal" : describe(typed));
    return std::nullopt;
  }
  const double seconds = formula_.expressions[value->expression].value * value->unit.numerator /
                         value->unit.denominator;
  constexpr double week_s = 604800.0;
  if (!(seconds >= 0.0 && seconds <= week_s)) {
    report(node.span, "a duration from 0 s to 168 h", "`" + std::string(slice(node.span)) + "`");
    return std::nullopt;
  }
  return Duration{std::llround(seconds * 1e9), value->unit};
}

}  // namespace ovenproof::properties
