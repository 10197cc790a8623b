#pragma once

#include <chrono>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/properties/signal_table.hpp"

namespace ovenproof::properties {

struct Formula;  // the checked formula, private to this library

/// A stretch of a property's text, in bytes from its start.
struct Span {
  std::size_t begin = 0;
  std::size_t end = 0;

  friend bool operator==(const Span&, const Span&) = default;
};

/// A place in a text as an editor counts it: from 1, columns in characters.
struct Position {
  std::size_t line = 1;
  std::size_t column = 1;

  friend bool operator==(const Position&, const Position&) = default;
};

[[nodiscard]] Position position_of(std::string_view text, std::size_t offset);

/// One mistake in a property's text.
struct Diagnostic {
  Span span;
  Position position;
  std::string expected;  ///< what would have been right there
  std::string found;     ///< what stands there

  /// "1:17: expected a temperature, found a fraction (ppm)"
  [[nodiscard]] std::string message() const;
};

/// A checked property, ready to be monitored. Copies are cheap and share the formula.
class Property {
 public:
  [[nodiscard]] const std::string& text() const;
  /// Units of the margins that a verdict will carry, the leading one first.
  [[nodiscard]] std::vector<std::string> margin_units() const;
  [[nodiscard]] std::chrono::nanoseconds scan_period() const;
  /// Number of signals in the row it reads.
  [[nodiscard]] std::size_t row_width() const;
  /// Indices of the signals that it looks at, rising: the others' places in the row do not matter.
  [[nodiscard]] std::vector<std::size_t> signals() const;

  explicit Property(std::shared_ptr<const Formula> formula) : formula_(std::move(formula)) {}
  [[nodiscard]] const Formula& formula() const { return *formula_; }

 private:
  std::shared_ptr<const Formula> formula_;
};

/// Either a property or at least one error, never both.
struct Compiled {
  std::optional<Property> property;
  std::vector<Diagnostic> errors;
};

/// Reads `text` in the property language (docs/properties.md) against the names of `table`, for a
/// plant that is scanned every `scan_period`. Reports every mistake it can find, in the order of
/// the text. Never throws on bad text; throws std::invalid_argument if the period is not positive.
[[nodiscard]] Compiled compile(std::string_view text, const SignalTable& table,
                               std::chrono::nanoseconds scan_period);

}  // namespace ovenproof::properties
