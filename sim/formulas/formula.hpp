#pragma once
#include <string_view>

/// Closed forms: relations from books, standards and trade practice, as pure functions of plain
/// numbers. They know no plant and no firmware, so that what they say can be held against both.
namespace ovenproof::formulas {

/// What a relation is called, what it says, where it comes from, and what it does not regard.
struct Formula {
  std::string_view name;
  std::string_view equation;
  std::string_view source;
  std::string_view leaves_out;  ///< of what an oven does; "the formula leaves out ..."
};

}  // namespace ovenproof::formulas
