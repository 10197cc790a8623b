#include "sim/machine/error.hpp"

#include <fmt/format.h>

#include "sim/machine/utf8.hpp"

namespace ovenproof::machine {

namespace {
std::string place(const std::string& file, Place at) {
  return at.line == 0 ? shown(file, 4096)
                      : fmt::format("{}:{}:{}", shown(file, 4096), at.line, at.column);
}
}  // namespace

std::string to_text(const Error& error) {
  std::string text = place(error.file, error.at) + ": ";
  if (!error.key.empty()) text += error.key + ": ";
  text += fmt::format("expected {}, found {}", error.expected, error.found);
  if (!error.hint.empty()) text += fmt::format(" ({})", error.hint);
  for (const Related& other : error.related) {
    if (other.at.line == 0) {
      text += fmt::format("\n    not in the file: {}: {}", other.key, other.what);
    } else {
      text += fmt::format("\n    {}: {}: {}", place(error.file, other.at), other.key, other.what);
    }
  }
  return text;
}

std::string shown(std::string_view text, std::size_t most) {
  std::string out;
  std::size_t count = 0;
  while (!text.empty()) {
    if (count++ == most) return out + "...";
    const std::size_t length = utf8_length(text);
    const auto first = static_cast<unsigned char>(text[0]);
    // C1 controls (U+0080..U+009F) steer terminals as the C0 ones do.
    const bool control =
        first < 0x20 || first == 0x7F ||
        (length == 2 && first == 0xC2 && static_cast<unsigned char>(text[1]) < 0xA0);
    if (length == 0 || control) {
      for (const char c : text.substr(0, length == 0 ? 1 : length)) {
        out += fmt::format("\\x{:02X}", static_cast<unsigned char>(c));
      }
    } else {
      out += text.substr(0, length);
    }
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return out;
}

}  // namespace ovenproof::machine
