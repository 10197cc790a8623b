#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "sim/machine/quantity.hpp"
#include "sim/scenario/reporter.hpp"

namespace ovenproof::scenario {

/// An action in words: `te_a stuck_at 5 mV for 10 s` has the head words `te_a`, `stuck_at`, `5`,
/// `mV` and one clause, `for` with `10 s`. Clause words: for, over, every, seed, mask.
struct Phrase {
  std::vector<std::string> head;
  std::vector<std::pair<std::string, std::string>> clauses;

  [[nodiscard]] const std::string* clause(std::string_view word) const;
  /// Head words from that index on, with blanks between: a quantity.
  [[nodiscard]] std::string rest(std::size_t from) const;
};

Phrase parse_phrase(std::string_view text);

/// Reads phrases and quantities of one value, and reports what is wrong with them in its place.
class ValueReader {
 public:
  ValueReader(Reporter& reporter, const machine::Node& node, std::string key)
      : reporter_(reporter), node_(node), key_(std::move(key)) {}

  /// The node's text as a phrase; nothing, and reported, if it is no text or empty.
  std::optional<Phrase> phrase(std::string_view expected);
  /// Reports each clause that is not among `allowed`, and clauses given twice.
  bool only_clauses(const Phrase& phrase, const std::vector<std::string_view>& allowed);

  /// A duration in whole ms, from `least` to 30 days.
  std::optional<std::uint32_t> duration(std::string_view text, std::uint32_t least = 0);
  /// The clause's duration; nothing if there is no such clause, or it is wrong (then reported).
  std::optional<std::uint32_t> duration_clause(const Phrase& phrase, std::string_view word);
  /// A quantity in the base unit of its dimension, `minimum` to `maximum` of it.
  std::optional<double> quantity(std::string_view text, machine::Dimension dimension,
                                 double minimum, double maximum);
  /// A whole number.
  std::optional<std::uint64_t> whole(std::string_view text, std::uint64_t maximum);

  void report(std::string expected, std::string found, std::string hint = "");
  void report_unknown(std::string expected, std::string_view word,
                      const std::vector<std::string>& known);
  [[nodiscard]] const machine::Node& node() const { return node_; }

 private:
  Reporter& reporter_;
  const machine::Node& node_;
  std::string key_;
};

}  // namespace ovenproof::scenario
