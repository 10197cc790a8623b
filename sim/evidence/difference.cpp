#include "sim/evidence/difference.hpp"

#include <algorithm>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace ovenproof::evidence {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t excerpt_length = 60;
constexpr std::string_view nothing = "nothing";

std::string shortened(std::string_view text) {
  return text.size() <= excerpt_length ? std::string(text)
                                       : std::string(text.substr(0, excerpt_length)) + " ...";
}

/// Of a list or an object its size: what differs in it has a place of its own.
std::string value_text(const Json* value) {
  if (value == nullptr) return std::string(nothing);
  if (value->is_array()) return fmt::format("a list of {}", value->size());
  if (value->is_object()) return fmt::format("an object of {}", value->size());
  return shortened(value->dump(-1, ' ', false, Json::error_handler_t::replace));
}

/// Two long texts from a little before the place where they part.
Difference parted(const std::string& where, const std::string& a, const std::string& b) {
  constexpr std::ptrdiff_t before = 20;
  const auto least = static_cast<std::ptrdiff_t>(std::min(a.size(), b.size()));
  const auto same = std::mismatch(a.begin(), a.begin() + least, b.begin()).first - a.begin();
  const auto from = static_cast<std::size_t>(std::max(std::ptrdiff_t{0}, same - before));
  const auto text = [from](const std::string& whole) {
    return fmt::format("\"{}{}\"", from == 0 ? "" : "... ", shortened(whole.substr(from)));
  };
  return {where, text(a), text(b)};
}

/// A name as part of a JSON pointer.
std::string pointer_part(std::string name) {
  for (std::size_t at = 0; (at = name.find_first_of("~/", at)) != std::string::npos; at += 2) {
    name.replace(at, 1, name[at] == '~' ? "~0" : "~1");
  }
  return "/" + name;
}

/// Where two documents part first, in the order of the first of them; none if they are the same in
/// value and order. No deeper than a document of ours is.
std::optional<Difference> json_difference(const Json& a, const Json& b, const std::string& path,
                                          int depth) {
  constexpr int deepest = 100;
  const auto here = [&] {
    return Difference{path.empty() ? "/" : path, value_text(&a), value_text(&b)};
  };
  if (a.type() != b.type() || depth > deepest) return here();
  if (a.is_array()) {
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i) {
      auto found = json_difference(a[i], b[i], fmt::format("{}/{}", path, i), depth + 1);
      if (found) return found;
    }
    return a.size() == b.size() ? std::nullopt : std::optional(here());
  }
  if (a.is_object()) {
    for (const auto& [name, value] : a.items()) {
      const auto other = b.find(name);
      const std::string place = path + pointer_part(name);
      if (other == b.end()) return Difference{place, value_text(&value), std::string(nothing)};
      if (auto found = json_difference(value, *other, place, depth + 1)) return found;
    }
    for (const auto& [name, value] : b.items()) {
      if (a.contains(name)) continue;
      return Difference{path + pointer_part(name), std::string(nothing), value_text(&value)};
    }
    return std::nullopt;
  }
  if (a == b) return std::nullopt;
  if (a.is_string()) {
    return parted(path, a.get_ref<const std::string&>(), b.get_ref<const std::string&>());
  }
  return here();
}

/// The line that holds a byte, without its end.
std::string_view line_at(std::string_view text, std::size_t at) {
  if (at >= text.size()) return {};
  const std::size_t newline = at == 0 ? std::string_view::npos : text.rfind('\n', at - 1);
  const std::size_t begin = newline == std::string_view::npos ? 0 : newline + 1;
  std::string_view line = text.substr(begin, text.find('\n', at) - begin);
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

/// What stands from a little before a column on.
std::string excerpt(std::string_view text, std::size_t at, std::size_t column) {
  if (at >= text.size()) return std::string(nothing);
  constexpr std::size_t before = 20;
  const std::string_view line = line_at(text, at);
  const std::size_t from = column > before ? std::min(column - before, line.size()) : 0;
  return (from == 0 ? "" : "... ") + shortened(line.substr(from));
}

/// The cell of a comma-separated line that holds a column of the text.
std::pair<std::size_t, std::string_view> cell_at(std::string_view line, std::size_t column) {
  std::size_t cell = 0;
  std::size_t begin = 0;
  for (std::size_t i = 0; i < std::min(column, line.size()); ++i) {
    if (line[i] != ',') continue;
    ++cell;
    begin = i + 1;
  }
  return {cell, line.substr(begin, line.find(',', begin) - begin)};
}

std::string_view cell(std::string_view line, std::size_t number) {
  for (; number > 0; --number) {
    const std::size_t comma = line.find(',');
    if (comma == std::string_view::npos) return {};
    line.remove_prefix(comma + 1);
  }
  return line.substr(0, line.find(','));
}

Difference text_difference(std::string_view name, std::string_view a, std::string_view b) {
  const auto at = static_cast<std::size_t>(
      std::mismatch(a.begin(),
                    a.begin() + static_cast<std::ptrdiff_t>(std::min(a.size(), b.size())),
                    b.begin())
          .first -
      a.begin());
  if (a.find('\0') != std::string_view::npos || b.find('\0') != std::string_view::npos) {
    const auto byte = [at](std::string_view text) {
      return at < text.size() ? fmt::format("{:02x}", static_cast<unsigned char>(text[at]))
                              : std::string(nothing);
    };
    return {fmt::format("byte {}", at), byte(a), byte(b)};
  }
  const std::string_view longer = at < a.size() ? a : b;
  const auto line = 1 + std::count(a.begin(), a.begin() + static_cast<std::ptrdiff_t>(at), '\n');
  const std::size_t newline = at == 0 ? std::string_view::npos : longer.rfind('\n', at - 1);
  const std::size_t column = at - (newline == std::string_view::npos ? 0 : newline + 1);
  const bool both = at < a.size() && at < b.size();
  if (name.ends_with(".csv") && line > 1 && both) {
    const std::string_view head = line_at(a, 0);
    const auto [number, of_a] = cell_at(line_at(a, at), column);
    const auto [number_b, of_b] = cell_at(line_at(b, at), column);
    const std::string_view title = cell(head, number);
    if (!title.empty() && number == number_b) {
      const std::string_view row = number == 0 ? std::string_view{} : cell(line_at(a, at), 0);
      return {fmt::format("line {}{}, column {}", line,
                          row.empty() ? "" : fmt::format(" ({} {})", cell(head, 0), shortened(row)),
                          shortened(title)),
              shortened(of_a), shortened(of_b)};
    }
  }
  return {fmt::format("line {}, character {}", line, column + 1), excerpt(a, at, column),
          excerpt(b, at, column)};
}

}  // namespace

std::optional<Difference> first_difference(std::string_view name, std::string_view a,
                                           std::string_view b) {
  if (a == b) return std::nullopt;
  if (name.ends_with(".json")) {
    const Json first = Json::parse(a, nullptr, false);
    const Json second = Json::parse(b, nullptr, false);
    if (!first.is_discarded() && !second.is_discarded()) {
      if (auto found = json_difference(first, second, "", 0)) return found;
    }
  }
  return text_difference(name, a, b);
}

}  // namespace ovenproof::evidence
