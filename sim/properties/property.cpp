#include "sim/properties/property.hpp"

#include <algorithm>
#include <set>
#include <stdexcept>
#include <utility>

#include "sim/properties/checker.hpp"
#include "sim/properties/formula.hpp"
#include "sim/properties/syntax.hpp"

namespace ovenproof::properties {

Position position_of(std::string_view text, std::size_t offset) {
  Position position;
  for (std::size_t i = 0; i < std::min(offset, text.size()); ++i) {
    if (text[i] == '\n') {
      ++position.line;
      position.column = 1;
    } else if ((static_cast<unsigned char>(text[i]) & 0xC0) != 0x80) {
      ++position.column;
    }
  }
  return position;
}

std::string Diagnostic::message() const {
  return std::to_string(position.line) + ":" + std::to_string(position.column) + ": expected " +
         expected + ", found " + found;
}

const std::string& Property::text() const { return formula_->text; }

std::vector<std::string> Property::margin_units() const {
  std::vector<std::string> units;
  for (const MarginKind& kind : formula_->margins) units.push_back(kind.unit.symbol);
  return units;
}

std::chrono::nanoseconds Property::scan_period() const { return formula_->period; }

std::size_t Property::row_width() const { return formula_->row_width; }

std::vector<std::size_t> Property::signals() const {
  std::set<std::size_t> found;
  for (const Expression& expression : formula_->expressions) {
    if (expression.kind == Expression::Kind::signal) found.insert(expression.signal);
  }
  for (const Condition& condition : formula_->conditions) {
    if (condition.kind == Condition::Kind::member || condition.kind == Condition::Kind::changed) {
      found.insert(condition.signal);
    }
  }
  return {found.begin(), found.end()};
}

Compiled compile(std::string_view text, const SignalTable& table,
                 std::chrono::nanoseconds scan_period) {
  if (scan_period.count() <= 0) throw std::invalid_argument("the scan period is not positive");
  Compiled result;
  const SyntaxTree tree = parse(text, result.errors);
  Formula formula = Checker(tree, text, table, scan_period, result.errors).run();
  if (result.errors.empty()) {
    result.property.emplace(std::make_shared<const Formula>(std::move(formula)));
    return result;
  }
  std::stable_sort(
      result.errors.begin(), result.errors.end(),
      [](const Diagnostic& a, const Diagnostic& b) { return a.span.begin < b.span.begin; });
  return result;
}

}  // namespace ovenproof::properties
