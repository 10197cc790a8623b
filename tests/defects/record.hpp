#pragma once
#include <cstddef>
#include <string>
#include <vector>

namespace ovenproof::defects {

/// Part `index` of `count` equal ones: every `count`th item, and every `count`th oven's way to
/// where its items begin.
struct Share {
  std::size_t index = 0;  ///< below `count`
  std::size_t count = 1;

  [[nodiscard]] bool has(std::size_t number) const { return number % count == index; }
};

/// Plays the share's items of the library on the sound firmware, and notes for each which defects
/// would have made a difference in it, and which cells of the matrix would have made one beside the
/// defect `first_line`, and beside it where no trip withholds anything. Writes that as one JSON
/// object to `file`; what is not of the share is null.
///
/// Throws std::runtime_error if the paths hold mistakes, an item fails on the sound firmware, or
/// taking notes changed what came out of it.
void record(const std::string& file, int first_line, const Share& share,
            const std::vector<std::string>& paths);

}  // namespace ovenproof::defects
