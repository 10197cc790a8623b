#include "sim/app/terminal.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <stdexcept>
#include <unistd.h>

#include <fmt/format.h>

#include "sim/machine/utf8.hpp"

namespace ovenproof::app {

namespace {

struct Range {
  char32_t first;
  char32_t last;
};

/// Blocks of Unicode whose characters take two columns (East Asian Width W and F, and emoji).
constexpr std::array<Range, 11> wide{{{0x1100, 0x115F},
                                      {0x2E80, 0x303E},
                                      {0x3041, 0xA4CF},
                                      {0xA960, 0xA97F},
                                      {0xAC00, 0xD7A3},
                                      {0xF900, 0xFAFF},
                                      {0xFE30, 0xFE6F},
                                      {0xFF00, 0xFF60},
                                      {0xFFE0, 0xFFE6},
                                      {0x1F300, 0x1FAFF},
                                      {0x20000, 0x3FFFD}}};

/// The code point of one well-formed sequence.
char32_t decode(std::string_view one) {
  const auto byte = [&](std::size_t i) {
    return static_cast<char32_t>(static_cast<unsigned char>(one[i]));
  };
  if (one.size() == 1) return byte(0);
  char32_t point = byte(0) & (0x7FU >> one.size());
  for (std::size_t i = 1; i < one.size(); ++i) point = point << 6 | (byte(i) & 0x3FU);
  return point;
}

/// The first character of the text, or its first byte where that is none.
std::string_view first_of(std::string_view text) {
  return text.substr(0, std::max<std::size_t>(1, machine::utf8_length(text)));
}

int columns_of_one(std::string_view one) {
  if (machine::utf8_length(one) == 0) return 1;
  const char32_t point = decode(one);
  if (point >= 0x300 && point <= 0x36F) return 0;
  return std::any_of(wide.begin(), wide.end(),
                     [&](Range r) { return point >= r.first && point <= r.last; })
             ? 2
             : 1;
}

/// Fills one line after another.
class Filler {
 public:
  explicit Filler(int width) : width_(std::max(width, 2)) {}

  void word(std::string_view text) {
    const int columns = columns_of(text);
    if (used_ > 0 && used_ + 1 + columns > width_) end_line();
    if (used_ > 0) put(" ", 1);
    if (columns <= width_ - used_) {
      put(text, columns);
      return;
    }
    while (!text.empty()) {
      const std::string_view one = first_of(text);
      const int takes = columns_of_one(one);
      if (used_ + takes > width_) end_line();
      put(one, takes);
      text.remove_prefix(one.size());
    }
  }
  void end_line() {
    lines_.push_back(std::move(line_));
    line_.clear();
    used_ = 0;
  }
  std::vector<std::string> lines() && { return std::move(lines_); }

 private:
  void put(std::string_view text, int columns) {
    line_ += text;
    used_ += columns;
  }
  int width_;
  std::vector<std::string> lines_;
  std::string line_;
  int used_ = 0;
};

}  // namespace

int columns_of(std::string_view text) {
  int columns = 0;
  while (!text.empty()) {
    const std::string_view one = first_of(text);
    columns += columns_of_one(one);
    text.remove_prefix(one.size());
  }
  return columns;
}

std::vector<std::string> wrapped(std::string_view text, int width) {
  while (text.ends_with('\n')) text.remove_suffix(1);
  Filler filler(width);
  while (true) {
    const std::size_t end = text.find('\n');
    std::string_view line = text.substr(0, end);
    while (!line.empty()) {
      const std::size_t blank = line.find(' ');
      if (blank != 0) filler.word(line.substr(0, blank));
      line.remove_prefix(blank == std::string_view::npos ? line.size() : blank + 1);
    }
    filler.end_line();
    if (end == std::string_view::npos) break;
    text.remove_prefix(end + 1);
  }
  return std::move(filler).lines();
}

std::string counted(std::size_t count, std::string_view one) {
  return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

std::string paragraph(std::string_view text, int indent, int hanging) {
  std::string out;
  bool first = true;
  // Wrapped for the deeper of the two indents, so that neither kind of line is too wide.
  for (const std::string& line : wrapped(text, terminal_columns - std::max(indent, hanging))) {
    const int by = first ? indent : std::max(indent, hanging);
    if (!line.empty()) out += std::string(static_cast<std::size_t>(by), ' ') + line;
    out += '\n';
    first = false;
  }
  return out;
}

std::string table_row(const std::vector<std::string>& cells, const std::vector<int>& widths,
                      int indent) {
  std::vector<std::vector<std::string>> columns;
  std::size_t height = 1;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    columns.push_back(wrapped(cells[i], widths[i]));
    height = std::max(height, columns.back().size());
  }
  std::string out;
  for (std::size_t row = 0; row < height; ++row) {
    std::string line(static_cast<std::size_t>(indent), ' ');
    for (std::size_t i = 0; i < columns.size(); ++i) {
      const std::string text = row < columns[i].size() ? columns[i][row] : "";
      line += text;
      line +=
          std::string(static_cast<std::size_t>(std::max(0, widths[i] - columns_of(text)) + 1), ' ');
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + '\n';
  }
  return out;
}

Style::Style(std::FILE* stream) {
  const char* no_colour = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  const bool dumb = term == nullptr || std::string_view(term) == "dumb" || *term == '\0';
  colour_ = isatty(fileno(stream)) == 1 && (no_colour == nullptr || *no_colour == '\0') && !dumb;
}

std::string Style::set(std::string_view text, std::string_view code) const {
  return colour_ ? fmt::format("\x1b[{}m{}\x1b[0m", code, text) : std::string(text);
}

void complain(std::string_view text) {
  std::fputs(paragraph("ovenproof: " + std::string(text), 0, 4).c_str(), stderr);
}

void print(std::string_view text) {
  const bool whole = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (!whole || std::fflush(stdout) != 0)
    throw std::runtime_error("standard output cannot be written");
}

}  // namespace ovenproof::app
