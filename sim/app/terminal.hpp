#pragma once
#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

/// Text for people: at most 80 columns, colour only where it is wanted.
namespace ovenproof::app {

inline constexpr int terminal_columns = 80;

/// Columns that UTF-8 text takes on a terminal: wide characters two, combining marks none.
int columns_of(std::string_view text);

/// The text in lines of at most `width` columns, broken at blanks, and inside a word only if the
/// word alone is wider. Newlines of the text stay. Never empty.
std::vector<std::string> wrapped(std::string_view text, int width);

/// The text wrapped to the terminal, each line indented, with a newline at the end of each.
std::string paragraph(std::string_view text, int indent = 0, int hanging = 0);

/// "1 case", "2 cases".
std::string counted(std::size_t count, std::string_view one);

/// Rows of cells in columns of fixed width, a blank between; a cell that is too long goes on in the
/// next line. The widths with their blanks must not exceed the terminal.
std::string table_row(const std::vector<std::string>& cells, const std::vector<int>& widths,
                      int indent = 2);

/// How words are set off. Plain unless made for a terminal.
class Style {
 public:
  Style() = default;
  /// Colour if `stream` is a terminal, NO_COLOR is unset or empty, and TERM is not "dumb".
  explicit Style(std::FILE* stream);

  [[nodiscard]] std::string heading(std::string_view text) const { return set(text, "1"); }
  [[nodiscard]] std::string warning(std::string_view text) const { return set(text, "33"); }
  [[nodiscard]] std::string error(std::string_view text) const { return set(text, "31"); }
  [[nodiscard]] std::string good(std::string_view text) const { return set(text, "32"); }

 private:
  [[nodiscard]] std::string set(std::string_view text, std::string_view code) const;
  bool colour_ = false;
};

/// Says on standard error what is wrong with the command or its files: "ovenproof: " and the text.
void complain(std::string_view text);

/// Writes results to standard output, whole; throws std::runtime_error if that fails.
void print(std::string_view text);

}  // namespace ovenproof::app
