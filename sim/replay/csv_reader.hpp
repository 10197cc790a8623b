#pragma once
#include <cstddef>
#include <cstdint>
#include <istream>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/machine/error.hpp"

/// Recorded logs: reading, replaying through the firmware, judging.
namespace ovenproof::replay {

/// One cell and where it stands.
struct Cell {
  std::string text;
  machine::Place at;
};

/// One row of a CSV file.
struct Row {
  std::vector<Cell> cells;  ///< only the first `size` of them belong to the row
  std::size_t size = 0;
  int line = 0;             ///< of its first cell
  std::uint64_t begin = 0;  ///< bytes of the file that it takes
  std::uint64_t end = 0;
  bool cut_off = false;  ///< the file ends without an end of line after it
};

/// Reads CSV (RFC 4180, with any one-byte delimiter) as a stream, in bounded memory, and knows the
/// place of every cell. LF, CR LF and CR end a row, empty lines are passed over, blanks around an
/// unquoted cell are dropped.
///
/// The grammar is libcsv's, in its strict mode; the stream is handed to it in pieces that end where
/// a cell can end, so that the place of each cell is known.
class CsvReader {
 public:
  static constexpr std::size_t longest_cell = 4096;  ///< bytes
  static constexpr std::size_t most_cells = 4096;    ///< of a row

  /// Reads from where `in` stands, which is byte `offset` and the start of line `line`.
  CsvReader(std::istream& in, char delimiter, std::string file, int line, std::uint64_t offset);
  ~CsvReader();
  CsvReader(const CsvReader&) = delete;
  CsvReader& operator=(const CsvReader&) = delete;

  enum class Got : std::uint8_t { row, error, end };
  /// The next row, or what is wrong with it; after an error, reading goes on at the next line.
  Got next(Row& row, machine::Error& error);

 private:
  struct Parser;
  bool fill();
  [[nodiscard]] std::size_t piece_length() const;
  void count(std::string_view piece);
  void skip_line();
  Got refuse(machine::Error& error, machine::Place at, std::string expected, std::string found);
  bool finish_file(Row& row, machine::Error& error, Got& got);

  std::istream& in_;
  std::unique_ptr<Parser> parser_;
  std::string file_;
  std::string chunk_;
  std::size_t at_ = 0;         ///< in the chunk
  std::uint64_t offset_;       ///< in the file
  machine::Place place_;       ///< of the next character
  bool after_return_ = false;  ///< the last character was a CR
  bool finished_ = false;
  char delimiter_;
};

/// What stands at the head of a log.
struct LogHead {
  std::vector<Cell> names;
  char delimiter = ',';
  int next_line = 0;             ///< the first after the header
  std::uint64_t next_begin = 0;  ///< its place in the file, in bytes
};

/// Reads the header row in line `header_line`, 1 or more; without `delimiter` it is the one of
/// comma, semicolon and tab that occurs most often there. Passes over a UTF-8 byte order mark.
/// Refuses what is no text: UTF-16, binary.
std::optional<machine::Error> read_head(std::istream& in, const std::string& file, int header_line,
                                        std::optional<char> delimiter, LogHead& head);

}  // namespace ovenproof::replay
