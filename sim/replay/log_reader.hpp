#pragma once
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "sim/replay/csv_reader.hpp"
#include "sim/replay/error_list.hpp"
#include "sim/replay/mapping.hpp"

namespace ovenproof::replay {

/// A column of a log that means something.
struct Column {
  std::size_t cell = 0;  ///< its place in a row
  ColumnMapping mapping;
};

/// What the columns of one log are.
struct Layout {
  LogHead head;
  std::size_t time_cell = 0;
  std::vector<Column> columns;
  std::vector<std::string> ignored;  ///< columns without a meaning
  std::vector<std::string> missing;  ///< columns of the mapping that the log lacks
};

/// One row, understood.
struct Sample {
  std::int64_t ms = 0;  ///< in the log's own time; never falls from one sample to the next
  int line = 0;
  std::uint64_t begin = 0;  ///< bytes of the file that the row takes
  std::uint64_t end = 0;
  /// For each column of the layout its signal: 0 or 1, the index of a state's label, or a number in
  /// the column's unit; NaN where the cell holds nothing.
  std::vector<double> values;
};

/// Reads a log row by row. Rows with errors are passed over, and the errors collected.
class LogReader {
 public:
  using Opened = std::variant<std::unique_ptr<LogReader>, std::vector<machine::Error>>;
  /// Opens a log, and makes out what its columns are. The mapping must outlive the reader.
  static Opened open(const std::filesystem::path& path, const Mapping& mapping,
                     const machine::Machine& machine);

  /// False at the end of the log.
  bool next(Sample& sample);

  [[nodiscard]] const Layout& layout() const { return layout_; }
  /// Known once a row was read.
  [[nodiscard]] TimeFormat time_format() const { return format_; }
  [[nodiscard]] const ErrorList& errors() const { return errors_; }
  [[nodiscard]] const std::string& file() const { return file_; }

 private:
  LogReader(const std::filesystem::path& path, const Mapping& mapping);
  void refuse(machine::Place at, std::string key, std::string expected, std::string found,
              std::string hint = "");
  bool understand(const Row& row, Sample& sample);
  bool understand_time(const Cell& cell, Sample& sample);
  std::optional<double> understand_cell(const Cell& cell, const ColumnMapping& column);

  std::string file_;
  std::ifstream in_;
  Layout layout_;
  std::unique_ptr<CsvReader> csv_;
  TimeFormat format_;
  char decimal_;
  std::int64_t day_ms_ = 0;  ///< midnights passed, of a clock
  std::optional<std::int64_t> last_ms_;
  ErrorList errors_;
  Row row_;
};

}  // namespace ovenproof::replay
