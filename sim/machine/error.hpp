#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

/// What is wrong with an input file, and where.
namespace ovenproof::machine {

/// A place in a text file. Lines and columns count from 1; line 0 means the file as a whole.
struct Place {
  int line = 0;
  int column = 0;
  friend bool operator==(const Place&, const Place&) = default;
};

/// A second place that an error is about, such as the other of two values that contradict.
struct Related {
  Place at;          ///< line 0 when the value is a default and stands nowhere in the file
  std::string key;   ///< full key path
  std::string what;  ///< what stands there
};

/// One mistake in one file.
struct Error {
  std::string file;      ///< as the user named it
  Place at;              ///< where
  std::string key;       ///< full key path; empty when the mistake is not about one key
  std::string expected;  ///< what would have been right
  std::string found;     ///< what is there
  std::string hint;      ///< what to do about it; may be empty
  std::vector<Related> related;
};

/// At most this many errors are reported of one file; the last one then says that there are more.
inline constexpr std::size_t most_errors = 100;

/// One error as text: `file:line:column: key: expected ..., found ...`, then the hint in brackets,
/// then one indented line for each related place. No newline at the end.
std::string to_text(const Error& error);

/// Text of an input made fit to be shown: control characters and bytes that are not UTF-8 become
/// `\xNN`, and what is longer than `most` characters is cut and ends in `...`.
std::string shown(std::string_view text, std::size_t most = 60);

}  // namespace ovenproof::machine
