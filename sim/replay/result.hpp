#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/replay/comparison.hpp"
#include "sim/replay/input_feed.hpp"
#include "sim/replay/judged_properties.hpp"

namespace ovenproof::replay {

/// A part of the file, in bytes.
struct ByteRange {
  std::uint64_t begin = 0;
  std::uint64_t end = 0;
};

struct FoundDifference {
  Difference difference;
  std::size_t stretch = 0;  ///< in which it lies
  ByteRange rows;           ///< that show it again
  std::string excerpt;      ///< file written; empty if none
};

struct BrokenProperty {
  std::size_t property = 0;  ///< in ReplayResult::judged
  std::int64_t ms = 0;       ///< when it was certain
  int line = 0;
  std::size_t stretch = 0;
  ByteRange rows;
  std::string excerpt;
};

/// From a start of the firmware to a gap or the end of the log.
struct Stretch {
  std::int64_t from_ms = 0;
  std::int64_t to_ms = 0;
  int from_line = 0;
  std::uint64_t begin = 0;                    ///< of its first row
  std::optional<std::int64_t> in_step_ms;     ///< compared from then on
  std::vector<std::string> never_in_step_by;  ///< if never: outputs that kept it so
};

/// A time without rows, longer than the limit: the firmware had no power.
struct Gap {
  std::int64_t from_ms = 0;
  std::int64_t to_ms = 0;
  int line = 0;  ///< of the first row after it
};

/// What came of a replay.
struct ReplayResult {
  static constexpr std::size_t most_kept = 100;  ///< differences, broken properties, gaps each

  Layout layout;
  Survey survey;
  Tolerance tolerance;
  std::int64_t gap_limit_ms = 0;
  std::uint32_t period_ms = 0;
  std::vector<Assumption> assumptions;
  std::vector<ComparedOutput> outputs;
  std::vector<NamedProperty> judged;
  std::vector<Unjudged> unjudged;

  std::vector<Stretch> stretches;  ///< the first `most_kept`
  std::vector<Gap> gaps;
  std::uint64_t gap_count = 0;
  std::uint64_t rows_compared = 0;
  std::uint64_t rows_skipped = 0;  ///< with errors
  std::vector<machine::Error> skipped;
  std::vector<FoundDifference> differences;
  std::uint64_t difference_count = 0;
  std::vector<BrokenProperty> broken;
  std::uint64_t broken_count = 0;

  /// Outputs were recorded, and yet nothing could be compared.
  [[nodiscard]] bool nothing_compared() const { return !outputs.empty() && rows_compared == 0; }
  [[nodiscard]] bool all_holds() const {
    return difference_count == 0 && broken_count == 0 && !nothing_compared();
  }
};

}  // namespace ovenproof::replay
