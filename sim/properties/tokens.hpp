#pragma once

#include <string>
#include <string_view>

#include "sim/properties/property.hpp"

/// Words, numbers and marks of the property language, and what to do where none fits. Private to
/// this library.
namespace ovenproof::properties {

/// The token that begins at `offset` (no white space there): a name, a number without its unit, or
/// one character, whole UTF-8 sequences kept together. Empty at the end.
[[nodiscard]] Span token_at(std::string_view text, std::size_t offset);

[[nodiscard]] std::size_t skip_space(std::string_view text, std::size_t offset);

/// A number at `offset`: digits, a fraction, an exponent. No sign. Empty if there is none.
[[nodiscard]] Span number_at(std::string_view text, std::size_t offset);

/// A unit at `offset`: symbols joined by `/` or `*` without space. Words of the language are no
/// units (save `min`). Empty if there is none.
[[nodiscard]] Span unit_at(std::string_view text, std::size_t offset);

/// Where reading can go on after a mistake at `offset`: the next connective, closing mark, comma
/// or colon outside parentheses opened on the way, or the end.
[[nodiscard]] std::size_t recovery_point(std::string_view text, std::size_t offset);

/// The token at `offset` as a message shows it: "`and`", "`\x07`", "the end of the text".
[[nodiscard]] std::string quoted_token(std::string_view text, std::size_t offset);

}  // namespace ovenproof::properties
