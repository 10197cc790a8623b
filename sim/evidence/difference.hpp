#pragma once
#include <optional>
#include <string>
#include <string_view>

namespace ovenproof::evidence {

/// Where two versions of a file part, and what each has there.
struct Difference {
  std::string where;  ///< "/sizing/holds", "line 12", "line 12 (time 30 s), plant.oxygen", "byte 5"
  std::string first;  ///< an excerpt; "nothing" where the file has ended
  std::string second;
};

/// The first difference of two texts; empty if they are the same to the byte. `name` tells by its
/// ending what they are: of .json the place in the document (RFC 6901), of .csv line and column, of
/// other text the line, of what is no text the byte.
std::optional<Difference> first_difference(std::string_view name, std::string_view first,
                                           std::string_view second);

}  // namespace ovenproof::evidence
