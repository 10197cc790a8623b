#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "sim/properties/property.hpp"

/// The text as it was written: a tree of what the grammar saw, before names and units are looked
/// at. Private to this library.
namespace ovenproof::properties {

enum class Syntax : std::uint8_t {
  error,  ///< something that was reported already
  name,
  number,  ///< with its unit, if any
  truth,   ///< true or false
  negative,
  arithmetic,  ///< operands joined by one of + - * /
  call,        ///< abs, min, max
  compare,
  member,  ///< x in {a, b}
  negation,
  conjunction,
  disjunction,
  implication,
  until,
  since,
  held_for,
  always,
  never,
  eventually,
  once,
  historically,
  at_start,
  at_end,
  rises,
  falls,
  changes,
  after,  ///< within T after E: P
};

/// How a temporal operator was bounded in the text.
enum class Bound : std::uint8_t { none, within, for_, range };

/// Index of a node in its tree.
using SyntaxId = std::int32_t;
inline constexpr SyntaxId no_syntax = -1;

struct SyntaxNode {
  Syntax kind = Syntax::error;
  Span span;
  Span word;  ///< the operator or keyword that makes the node; the name or number itself
  std::vector<SyntaxId> operands;
  std::vector<Span> labels;  ///< of `member`
  Bound bound = Bound::none;
  SyntaxId from = no_syntax;  ///< a duration: a number or a name
  SyntaxId to = no_syntax;
  int depth = 0;          ///< levels of nodes below
  bool enclosed = false;  ///< stood in parentheses
};

struct SyntaxTree {
  std::vector<SyntaxNode> nodes;
  std::vector<SyntaxId> roots;  ///< one, or more where junk was skipped between them
  Span margin_unit;             ///< of `, margin in UNIT`; empty if absent

  [[nodiscard]] const SyntaxNode& operator[](SyntaxId id) const {
    return nodes[static_cast<std::size_t>(id)];
  }
};

/// Parses `text`, appending a diagnostic for every place that does not fit the grammar. The tree
/// is whole even then: `error` nodes stand where something is missing.
[[nodiscard]] SyntaxTree parse(std::string_view text, std::vector<Diagnostic>& errors);

}  // namespace ovenproof::properties
