#include "sim/properties/tokens.hpp"

#include <algorithm>
#include <optional>

#include "sim/properties/signal_table.hpp"
#include "sim/properties/units.hpp"

namespace ovenproof::properties {
namespace {

bool is_space(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_'; }

/// Character at `offset`, or 0 past the end.
char at(std::string_view text, std::size_t offset) {
  return offset < text.size() ? text[offset] : '\0';
}

std::size_t skip_digits(std::string_view text, std::size_t offset) {
  while (is_digit(at(text, offset))) ++offset;
  return offset;
}

/// One unit symbol: letters and digits that begin with a letter, or `%`.
std::size_t symbol_end(std::string_view text, std::size_t offset) {
  if (at(text, offset) == '%') return offset + 1;
  if (!is_letter(at(text, offset))) return offset;
  while (is_letter(at(text, offset)) || is_digit(at(text, offset))) ++offset;
  return offset;
}

}  // namespace

std::size_t skip_space(std::string_view text, std::size_t offset) {
  while (offset < text.size() && is_space(text[offset])) ++offset;
  return offset;
}

Span number_at(std::string_view text, std::size_t offset) {
  if (!is_digit(at(text, offset))) return {offset, offset};
  std::size_t end = skip_digits(text, offset);
  if (at(text, end) == '.' && is_digit(at(text, end + 1))) end = skip_digits(text, end + 1);
  if (at(text, end) == 'e' || at(text, end) == 'E') {
    const std::size_t sign = end + 1 + (at(text, end + 1) == '+' || at(text, end + 1) == '-');
    if (is_digit(at(text, sign))) end = skip_digits(text, sign);
  }
  return {offset, end};
}

Span unit_at(std::string_view text, std::size_t offset) {
  std::size_t end = symbol_end(text, offset);
  const std::string_view first = text.substr(offset, end - offset);
  if (first.empty() || (is_reserved_word(first) && first != "min")) return {offset, offset};
  while (at(text, end) == '/' || at(text, end) == '*') {
    const std::size_t next = symbol_end(text, end + 1);
    const char follow = at(text, next);
    if (next == end + 1 || follow == '.' || follow == '(') break;
    if (!parse_unit(text.substr(end + 1, next - end - 1))) break;
    end = next;
  }
  return {offset, end};
}

Span token_at(std::string_view text, std::size_t offset) {
  if (offset >= text.size()) return {text.size(), text.size()};
  std::size_t end = offset;
  if (is_letter(text[offset])) {
    while (is_letter(at(text, end)) || is_digit(at(text, end)) ||
           (at(text, end) == '.' && is_letter(at(text, end + 1)))) {
      ++end;
    }
    return {offset, end};
  }
  if (const Span number = number_at(text, offset); number.end > offset) return number;
  ++end;
  if (static_cast<unsigned char>(text[offset]) >= 0xC0) {
    while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) ++end;
  }
  return {offset, end};
}

std::size_t recovery_point(std::string_view text, std::size_t offset) {
  constexpr std::string_view stops[] = {"and", "or", "implies", "until", "since", "then",
                                        ")",   "]",  "}",       ",",     ":"};
  std::size_t depth = 0;
  for (;;) {
    offset = skip_space(text, offset);
    const Span token = token_at(text, offset);
    if (token.begin == token.end) return offset;
    const std::string_view word = text.substr(token.begin, token.end - token.begin);
    if (word == "(") {
      ++depth;
    } else if (word == ")" && depth > 0) {
      --depth;
    } else if (depth == 0 &&
               std::find(std::begin(stops), std::end(stops), word) != std::end(stops)) {
      return offset;
    }
    offset = token.end;
  }
}

std::string quoted_token(std::string_view text, std::size_t offset) {
  const Span token = token_at(text, skip_space(text, offset));
  if (token.begin == token.end) return "the end of the text";
  constexpr char digits[] = "0123456789abcdef";
  constexpr std::size_t longest = 60;
  std::string result = "`";
  for (std::size_t i = token.begin; i < std::min(token.end, token.begin + longest); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    // A whole UTF-8 sequence is shown as it is; stray and control bytes by their value.
    const bool printable =
        (byte >= 0x20 && byte < 0x7F) || (byte >= 0x80 && token.end - token.begin > 1);
    if (printable) {
      result += text[i];
    } else {
      result += "\\x";
      result += digits[byte >> 4];
      result += digits[byte & 15];
    }
  }
  return result + (token.end - token.begin > longest ? "...`" : "`");
}

}  // namespace ovenproof::properties
