#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "sim/properties/formula.hpp"
#include "sim/properties/signal_table.hpp"
#include "sim/properties/syntax.hpp"

namespace ovenproof::properties {

/// Turns a syntax tree into a formula: looks names up, checks and converts units, turns durations
/// into scans, and sees that each operator stands where it can be decided. Private to this library.
class Checker {
 public:
  Checker(const SyntaxTree& tree, std::string_view text, const SignalTable& table,
          std::chrono::nanoseconds period, std::vector<Diagnostic>& errors);

  /// Checks all roots; the formula is of use only if no errors were added.
  Formula run();

 private:
  struct Quantity {
    ExpressionId expression;
    Unit unit;
    bool literal;  ///< takes on the unit and reading of its partner
  };
  struct State {
    std::uint32_t signal;
  };
  struct Failed {};  // reported already
  using Typed = std::variant<Failed, ConditionId, Quantity, State>;
  enum class Place : std::uint8_t { top, inside };

  // checker.cpp
  ConditionId top(SyntaxId id);
  Typed check(SyntaxId id);
  ConditionId condition(SyntaxId id);
  ConditionId add(Condition condition);
  ConditionId temporal(SyntaxId id, Place place);
  ConditionId comparison(SyntaxId id);
  ConditionId state_comparison(const SyntaxNode& node, std::uint32_t signal, SyntaxId label);
  ConditionId member(SyntaxId id);
  ConditionId changes(SyntaxId id);
  std::uint64_t label_bit(const SignalInfo& signal, Span label);
  void set_bounds(const SyntaxNode& node, Condition& result);
  void choose_margins(Formula& formula);

  // check_values.cpp
  Typed name(const SyntaxNode& node);
  std::optional<Quantity> quantity(SyntaxId id);
  std::optional<Quantity> number(const SyntaxNode& node, bool negative);
  std::optional<Quantity> arithmetic(const SyntaxNode& node);
  std::optional<Quantity> sum(const SyntaxNode& node, bool subtract);
  std::optional<Quantity> product(const SyntaxNode& node, bool divide);
  std::optional<Quantity> call(const SyntaxNode& node);
  std::optional<Quantity> negative(const SyntaxNode& node);
  bool reconcile(SyntaxId left_id, SyntaxId right_id, Quantity& left, Quantity& right);
  ExpressionId rescaled(const Quantity& from, const Unit& to, bool point);
  ExpressionId fold(Expression expression);
  struct Duration {
    std::int64_t ns;
    Unit unit;
  };
  std::optional<Duration> duration(SyntaxId id);

  void report(Span span, std::string expected, std::string found);
  [[nodiscard]] std::string_view slice(Span span) const;
  [[nodiscard]] std::string describe(const Typed& typed) const;
  [[nodiscard]] static std::string describe(const Unit& unit);

  const SyntaxTree& tree_;
  std::string_view text_;
  const SignalTable& table_;
  std::chrono::nanoseconds period_;
  std::vector<Diagnostic>& errors_;
  Formula formula_;
};

}  // namespace ovenproof::properties
