#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace ovenproof::machine {

/// Number of letters to insert, delete, replace or swap with a neighbour to turn one text into the
/// other (optimal string alignment distance), in bytes.
int edit_distance(std::string_view from, std::string_view to);

/// The candidate most like `word`, the first of equals; empty if none is near enough to be meant.
std::string nearest(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace ovenproof::machine
