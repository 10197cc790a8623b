#include "sim/machine/utf8.hpp"

namespace ovenproof::machine {

namespace {
unsigned byte(std::string_view text, std::size_t i) { return static_cast<unsigned char>(text[i]); }
bool continues(std::string_view text, std::size_t i, unsigned low = 0x80, unsigned high = 0xBF) {
  return i < text.size() && byte(text, i) >= low && byte(text, i) <= high;
}
}  // namespace

// The ranges are those of table 3-7, "Well-Formed UTF-8 Byte Sequences", of the Unicode Standard.
std::size_t utf8_length(std::string_view text) {
  if (text.empty()) return 0;
  const unsigned lead = byte(text, 0);
  if (lead <= 0x7F) return 1;
  if (lead >= 0xC2 && lead <= 0xDF) return continues(text, 1) ? 2 : 0;
  if (lead >= 0xE0 && lead <= 0xEF) {
    const unsigned low = lead == 0xE0 ? 0xA0 : 0x80;
    const unsigned high = lead == 0xED ? 0x9F : 0xBF;
    return continues(text, 1, low, high) && continues(text, 2) ? 3 : 0;
  }
  if (lead >= 0xF0 && lead <= 0xF4) {
    const unsigned low = lead == 0xF0 ? 0x90 : 0x80;
    const unsigned high = lead == 0xF4 ? 0x8F : 0xBF;
    return continues(text, 1, low, high) && continues(text, 2) && continues(text, 3) ? 4 : 0;
  }
  return 0;
}

std::size_t utf8_count(std::string_view text) {
  std::size_t columns = 0;
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    text.remove_prefix(length == 0 ? 1 : length);
    ++columns;
  }
  return columns;
}

}  // namespace ovenproof::machine
