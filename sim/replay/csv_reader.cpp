#include "sim/replay/csv_reader.hpp"

#include <csv.h>
#include <new>

#include <fmt/format.h>

namespace ovenproof::replay {
namespace {

constexpr std::size_t chunk_size = 64 * 1024;

bool ends_line(char c) { return c == '\n' || c == '\r'; }

/// Whether the byte begins a character, as an editor counts columns.
bool begins_character(char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }

}  // namespace

/// What libcsv calls back into.
struct CsvReader::Parser {
  csv_parser csv{};
  Row* row = nullptr;
  bool row_done = false;
  machine::Place cell_at;  ///< of the cell that is being read

  Parser() { start(); }
  ~Parser() { csv_free(&csv); }
  Parser(const Parser&) = delete;
  Parser& operator=(const Parser&) = delete;

  void start() {
    if (csv_init(&csv, CSV_STRICT | CSV_STRICT_FINI) != 0) throw std::bad_alloc();
  }
  void restart(char delimiter) {
    csv_free(&csv);
    start();
    csv_set_delim(&csv, static_cast<unsigned char>(delimiter));
  }
  static void take_cell(void* text, std::size_t length, void* self) {
    Parser& p = *static_cast<Parser*>(self);
    Row& row = *p.row;
    if (row.size == row.cells.size()) row.cells.emplace_back();
    Cell& cell = row.cells[row.size++];
    cell.text.assign(static_cast<const char*>(text), length);
    cell.at = p.cell_at;
  }
  static void take_row(int, void* self) { static_cast<Parser*>(self)->row_done = true; }
};

CsvReader::CsvReader(std::istream& in, char delimiter, std::string file, int line,
                     std::uint64_t offset)
    : in_(in),
      parser_(std::make_unique<Parser>()),
      file_(std::move(file)),
      offset_(offset),
      place_{line, 1},
      delimiter_(delimiter) {
  csv_set_delim(&parser_->csv, static_cast<unsigned char>(delimiter));
}

CsvReader::~CsvReader() = default;

bool CsvReader::fill() {
  if (at_ < chunk_.size()) return true;
  chunk_.resize(chunk_size);
  in_.read(chunk_.data(), static_cast<std::streamsize>(chunk_.size()));
  chunk_.resize(static_cast<std::size_t>(in_.gcount()));
  at_ = 0;
  return !chunk_.empty();
}

std::size_t CsvReader::piece_length() const {
  for (std::size_t i = at_; i < chunk_.size(); ++i) {
    if (chunk_[i] == delimiter_ || ends_line(chunk_[i])) return i - at_ + 1;
  }
  return chunk_.size() - at_;
}

void CsvReader::count(std::string_view piece) {
  for (const char c : piece) {
    const bool second_of_pair = c == '\n' && after_return_;
    if (ends_line(c) && !second_of_pair) {
      ++place_.line;
      place_.column = 1;
    } else if (!second_of_pair && begins_character(c)) {
      ++place_.column;
    }
    after_return_ = c == '\r';
  }
  offset_ += piece.size();
  at_ += piece.size();
}

void CsvReader::skip_line() {
  while (fill()) {
    const std::size_t length = piece_length();
    const std::string_view piece = std::string_view(chunk_).substr(at_, length);
    const bool last = ends_line(piece.back());
    count(piece);
    if (last) return;
  }
}

CsvReader::Got CsvReader::refuse(machine::Error& error, machine::Place at, std::string expected,
                                 std::string found) {
  error = {file_, at, "", std::move(expected), std::move(found), "", {}};
  parser_->restart(delimiter_);
  return Got::error;
}

bool CsvReader::finish_file(Row& row, machine::Error& error, Got& got) {
  finished_ = true;
  if (csv_fini(&parser_->csv, &Parser::take_cell, &Parser::take_row, parser_.get()) != 0) {
    got = refuse(error, parser_->cell_at, "a closing quote", "the end of the file");
    return true;
  }
  row.cut_off = true;
  return parser_->row_done;
}

CsvReader::Got CsvReader::next(Row& row, machine::Error& error) {
  Parser& parser = *parser_;
  parser.row = &row;
  parser.row_done = false;
  row.size = 0;
  row.cut_off = false;
  parser.cell_at = place_;
  row.line = place_.line;
  row.begin = offset_;
  Got got = Got::row;
  while (!parser.row_done && !finished_) {
    if (!fill()) {
      if (!finish_file(row, error, got)) return Got::end;
      break;
    }
    const std::string_view piece = std::string_view(chunk_).substr(at_, piece_length());
    const std::size_t cells_before = row.size;
    const std::size_t taken = csv_parse(&parser.csv, piece.data(), piece.size(), &Parser::take_cell,
                                        &Parser::take_row, &parser);
    if (taken != piece.size()) {
      if (csv_error(&parser.csv) != CSV_EPARSE) throw std::bad_alloc();
      const bool at_end = ends_line(piece.back());
      count(piece);
      if (!at_end) skip_line();
      return refuse(error, parser.cell_at, "a quoted cell with its quotes doubled inside, or none",
                    "a stray quote");
    }
    count(piece);
    if (row.size != cells_before) {
      parser.cell_at = place_;
    } else if (row.size == 0 && parser.csv.entry_pos == 0 && ends_line(piece.back()) &&
               parser.csv.quoted == 0) {
      parser.cell_at = place_;  // an empty line
      row.line = place_.line;
      row.begin = offset_;
    }
    if (parser.csv.entry_pos > longest_cell || row.size > most_cells) {
      const machine::Place at = parser.cell_at;
      const bool cell = parser.csv.entry_pos > longest_cell;
      if (!ends_line(piece.back())) skip_line();
      return refuse(error, at,
                    cell ? fmt::format("a cell of at most {} bytes", longest_cell)
                         : fmt::format("at most {} cells in a row", most_cells),
                    cell ? "a longer one, perhaps because a quote is never closed" : "more");
    }
  }
  if (finished_ && !parser.row_done && got == Got::row) return Got::end;
  row.end = offset_;
  return got;
}

namespace {

/// Why the first bytes are no text of a kind that can be read; empty if they are.
std::string no_text(std::string_view start) {
  const auto begins = [start](std::string_view mark) { return start.starts_with(mark); };
  if (begins("\xFF\xFE") || begins(std::string_view("\xFE\xFF"))) return "UTF-16 text";
  std::size_t zeros = 0;
  std::size_t controls = 0;
  for (const char c : start) {
    const auto byte = static_cast<unsigned char>(c);
    zeros += byte == 0 ? 1 : 0;
    controls += byte < 0x20 && c != '\t' && c != '\n' && c != '\r' && c != '\f' ? 1 : 0;
  }
  if (zeros * 5 > start.size() * 2) return "UTF-16 text, or binary data";
  return controls > 0 ? "binary data" : "";
}

char likeliest_delimiter(std::string_view line) {
  char best = ',';
  std::size_t most = 0;
  for (const char candidate : {',', ';', '\t'}) {
    std::size_t found = 0;
    bool quoted = false;
    for (const char c : line) {
      if (c == '"') quoted = !quoted;
      found += !quoted && c == candidate ? 1 : 0;
    }
    if (found > most) {
      most = found;
      best = candidate;
    }
  }
  return best;
}

}  // namespace

std::optional<machine::Error> read_head(std::istream& in, const std::string& file, int header_line,
                                        std::optional<char> delimiter, LogHead& head) {
  const auto refusal = [&file](machine::Place at, std::string expected, std::string found,
                               std::string hint = "") {
    return machine::Error{file, at, "", std::move(expected), std::move(found), std::move(hint), {}};
  };
  std::string start(4096, '\0');
  in.read(start.data(), static_cast<std::streamsize>(start.size()));
  start.resize(static_cast<std::size_t>(in.gcount()));
  in.clear();
  if (start.empty()) return refusal({}, "a CSV file with a header row", "an empty file");
  if (std::string found = no_text(start); !found.empty()) {
    return refusal({}, "CSV as UTF-8 or ASCII text", std::move(found), "save it as UTF-8");
  }
  std::uint64_t begin = start.starts_with("\xEF\xBB\xBF") ? 3 : 0;
  std::size_t end = 0;
  for (int line = 1;; ++line) {
    end = start.find_first_of("\r\n", begin);
    if (line == header_line) break;
    if (end == std::string::npos) {
      return refusal({line, 1}, fmt::format("a header row in line {}", header_line),
                     "no such line in the first 4 KiB");
    }
    begin = end + (start.compare(end, 2, "\r\n") == 0 ? 2 : 1);
  }
  const std::string_view line = std::string_view(start).substr(
      begin, end == std::string::npos ? std::string_view::npos : end - begin);
  head.delimiter = delimiter.value_or(likeliest_delimiter(line));
  in.seekg(static_cast<std::streamoff>(begin));
  CsvReader reader(in, head.delimiter, file, header_line, begin);
  Row row;
  machine::Error error;
  switch (reader.next(row, error)) {
    case CsvReader::Got::error:
      return error;
    case CsvReader::Got::end:
      return refusal({header_line, 1}, "a header row", "nothing");
    case CsvReader::Got::row:
      break;
  }
  head.names.assign(row.cells.begin(), row.cells.begin() + static_cast<std::ptrdiff_t>(row.size));
  in.clear();
  // The line break may be two bytes; the reader stops after the first, and passes over the other.
  head.next_line = row.line + 1;
  head.next_begin = row.end;
  in.seekg(static_cast<std::streamoff>(row.end));
  char second = 0;
  if (row.end > 0) {
    in.seekg(static_cast<std::streamoff>(row.end - 1));
    char first = 0;
    in.get(first);
    in.get(second);
    if (first == '\r' && second == '\n') ++head.next_begin;
  }
  in.clear();
  in.seekg(static_cast<std::streamoff>(head.next_begin));
  return std::nullopt;
}

}  // namespace ovenproof::replay
