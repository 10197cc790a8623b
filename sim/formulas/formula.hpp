#pragma once
#include <string_view>

/// Closed forms: relations from books, standards and trade practice, as pure functions of plain
/// numbers. They know no plant and no firmware, so that what they say can be held against both.
namespace ovenproof::formulas {

/// What a relation is called, what it says, and where it comes from.
struct Formula {
  std::string_view name;
  std::string_view equation;
  std::string_view source;
};

}  // namespace ovenproof::formulas
