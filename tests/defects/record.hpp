#pragma once
#include <string>
#include <vector>

namespace ovenproof::defects {

/// Plays every item of the library on the sound firmware, and notes for each which defects would
/// have made a difference in it, and which cells of the matrix would have made one beside the
/// defect `first_line`. Writes that as one JSON object to `file`.
///
/// Throws std::runtime_error if the paths hold mistakes, an item fails on the sound firmware, or
/// taking notes changed what came out of it.
void record(const std::string& file, int first_line, const std::vector<std::string>& paths);

}  // namespace ovenproof::defects
