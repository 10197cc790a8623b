#pragma once
#include <cstdint>
#include <map>
#include <optional>
#include <vector>

#include "sim/replay/log_reader.hpp"

namespace ovenproof::replay {

/// What one column held.
struct ColumnSurvey {
  std::uint64_t empty = 0;            ///< cells without a value
  std::int64_t longest_empty_ms = 0;  ///< from the last value to the next, or to the end
  std::optional<double> first;        ///< its first value
};

/// What a log holds, found by reading it once.
struct Survey {
  std::uint64_t rows = 0;
  std::int64_t first_ms = 0;
  std::int64_t last_ms = 0;
  std::int64_t interval_ms = 0;  ///< median from row to row; 0 with fewer than two rows
  /// 95 % of the steps from row to row are no longer. Of a log with a row at each change and one
  /// every so often without, it is about the latter.
  std::int64_t regular_step_ms = 0;
  std::int64_t longest_step_ms = 0;
  std::uint64_t same_time = 0;  ///< rows with the time of the row before
  TimeFormat time_format = TimeFormat::seconds;
  std::vector<ColumnSurvey> columns;  ///< as in the layout
};

/// Takes rows one by one.
class Surveyor {
 public:
  explicit Surveyor(std::size_t columns) : last_value_ms_(columns) {
    survey_.columns.resize(columns);
  }
  void take(const Sample& sample);
  [[nodiscard]] Survey finish(TimeFormat format) const;

 private:
  Survey survey_;
  std::vector<std::int64_t> last_value_ms_;
  std::map<std::int64_t, std::uint64_t> steps_;  ///< how often; bounded, see take()
};

}  // namespace ovenproof::replay
