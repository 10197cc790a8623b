#include "sim/scenario/reporter.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "sim/machine/suggest.hpp"

namespace ovenproof::scenario {

using machine::Error;
using machine::Node;
using machine::Place;

const Node* child(const Node& map, std::string_view key) {
  if (map.kind != Node::Kind::map) return nullptr;
  for (const Node& each : map.children) {
    if (each.key == key) return &each;
  }
  return nullptr;
}

Place place_of(const Node& node) {
  return node.kind == Node::Kind::null && node.key_at.line > 0 ? node.key_at : node.at;
}

std::string excerpt(std::string_view text, std::size_t most) {
  std::string line(text);
  std::replace(line.begin(), line.end(), '\n', ' ');
  line.erase(line.find_last_not_of(' ') + 1);
  return machine::shown(line, most);
}

Reporter::Reporter(std::string file, std::string_view text) : file_(std::move(file)) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    lines_.push_back(text.substr(0, end));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
}

void Reporter::add(Error error) {
  const auto same = [&](const Error& other) {
    return other.file == error.file && other.at == error.at && other.key == error.key &&
           other.expected == error.expected;
  };
  if (std::none_of(errors_.begin(), errors_.end(), same)) errors_.push_back(std::move(error));
}

void Reporter::report(const Node& node, std::string key, std::string expected, std::string found,
                      std::string hint) {
  if (node.kind == Node::Kind::refused) return;  // reported already
  add({file_,
       place_of(node),
       std::move(key),
       std::move(expected),
       std::move(found),
       std::move(hint),
       {}});
}

void Reporter::report_unknown(Place at, std::string key, std::string expected,
                              std::string_view word, const std::vector<std::string>& known) {
  const std::string near = machine::nearest(word, known);
  add({file_,
       at,
       std::move(key),
       std::move(expected),
       fmt::format("\"{}\"", machine::shown(word)),
       near.empty() ? "" : fmt::format("did you mean {}?", near),
       {}});
}

/// The column at which the node's text begins, if it stands in the file letter by letter.
std::optional<int> Reporter::column_of(const Node& node) const {
  const auto line = static_cast<std::size_t>(node.at.line);
  if (line < 1 || line > lines_.size()) return std::nullopt;
  // Columns count characters; texts with others than ASCII before the value are not searched.
  const auto column = static_cast<std::size_t>(node.at.column - 1) + (node.quoted ? 1 : 0);
  const std::string_view rest = lines_[line - 1];
  if (column > rest.size() || !rest.substr(column).starts_with(node.text)) return std::nullopt;
  return static_cast<int>(column) + 1;
}

void Reporter::report(const Node& node, const std::string& key,
                      const std::vector<properties::Diagnostic>& diagnostics,
                      std::string_view compiled, std::size_t offset) {
  const std::optional<int> column = column_of(node);
  const std::size_t in_node = node.text.find(compiled.substr(offset));
  for (const properties::Diagnostic& each : diagnostics) {
    Error error{file_, place_of(node), key, each.expected, each.found, "", {}};
    const std::size_t at = each.span.begin < offset ? 0 : each.span.begin - offset;
    if (column && in_node != std::string::npos) {
      error.at.column = *column + static_cast<int>(in_node + at);
    } else {
      // A place in folded or substituted text can only be told by what stands there.
      error.hint =
          fmt::format("in `{}`, before `{}`", excerpt(compiled.substr(offset), 200),
                      excerpt(compiled.substr(std::min(each.span.begin, compiled.size())), 24));
    }
    add(std::move(error));
  }
}

std::vector<Error> Reporter::take() {
  std::stable_sort(errors_.begin(), errors_.end(), [](const Error& a, const Error& b) {
    return std::pair(a.at.line, a.at.column) < std::pair(b.at.line, b.at.column);
  });
  if (errors_.size() > machine::most_errors) {
    const std::size_t more = errors_.size() - machine::most_errors;
    errors_.resize(machine::most_errors);
    Error& last = errors_.back();
    last.hint += fmt::format("{}and {} more errors", last.hint.empty() ? "" : "; ", more);
  }
  return std::move(errors_);
}

}  // namespace ovenproof::scenario
