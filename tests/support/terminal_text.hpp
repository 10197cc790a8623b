#pragma once
#include <algorithm>
#include <string>

#include "sim/app/terminal.hpp"

/// What programs print, as a terminal shows it.
namespace ovenproof::test {

/// The first line that is wider than a terminal or ends in a blank; empty if none does.
inline std::string unfit_line(const std::string& text) {
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    const std::string line = text.substr(at, end - at);
    if (app::columns_of(line) > app::terminal_columns || line.ends_with(' ')) return line;
    at = end + 1;
  }
  return "";
}

}  // namespace ovenproof::test
