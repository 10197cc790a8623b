#pragma once
#include <cstddef>
#include <string_view>

namespace ovenproof::machine {

/// Length in bytes, 1 to 4, of the well-formed UTF-8 sequence that `text` begins with; 0 when it
/// begins with none (stray continuation, overlong form, surrogate, beyond U+10FFFF, cut short).
std::size_t utf8_length(std::string_view text);

/// How many characters (code points) the text holds; a byte that is not UTF-8 counts as one.
std::size_t utf8_count(std::string_view text);

}  // namespace ovenproof::machine
