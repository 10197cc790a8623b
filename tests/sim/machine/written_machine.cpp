#include "written_machine.hpp"

#include <fstream>
#include <iterator>
#include <optional>
#include <utility>
#include <vector>

#include <doctest/doctest.h>
#include <fmt/format.h>

#include "sim/machine/given.hpp"
#include "sim/machine/keys.hpp"
#include "sim/machine/load.hpp"

namespace ovenproof::test {

using namespace machine;

std::string contents(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

Machine must_load(const std::string& path) {
  const Loaded loaded = load_file(path);
  if (const auto* errors = std::get_if<std::vector<Error>>(&loaded)) {
    for (const Error& error : *errors) FAIL_CHECK(to_text(error));
    FAIL("must be good: " << path);
  }
  return std::get<Machine>(loaded);
}

namespace {
std::string in_quotes(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '\n') {
      out += "\\n";
    } else {
      out += c;
    }
  }
  return out + '"';
}

std::string exact_text(const Key& key, const Machine& m, std::size_t item) {
  if (key.kind == KeyKind::text && !key.tag) return in_quotes(key.get_texts(m, item).front());
  if (key.kind == KeyKind::names) {
    std::vector<std::string> names;
    for (const std::string& name : key.get_texts(m, item)) names.push_back(in_quotes(name));
    return fmt::format("[{}]", fmt::join(names, ", "));
  }
  if (key.kind != KeyKind::quantity) return value_text(key, m, item);
  return format_exactly(key.get(m, item), key.dimension, key.unit);
}
}  // namespace

std::string written(const Machine& m, const std::map<std::string, std::string>& instead) {
  const auto text = [&](const Key& key, std::size_t item) {
    const auto other = instead.find(full_path(key.path, item));
    if (other != instead.end()) return std::optional(other->second);
    return has_value(key, m, item) ? std::optional(exact_text(key, m, item)) : std::nullopt;
  };
  const auto list_text = [&](const List& list) {
    std::string out;
    for (std::size_t item = 0; item < list.size(m); ++item) {
      const char* lead = "    - ";
      for (const Key& key : all_keys()) {
        if (list_of(key.path) != &list) continue;
        const std::optional<std::string> value = text(key, item);
        if (!value) continue;
        out += fmt::format("{}{}: {}\n", lead, key.path.substr(list.path.size() + 3), *value);
        lead = "      ";
      }
    }
    if (out.empty()) return out;
    return fmt::format("  {}:\n{}", list.path.substr(list.path.find('.') + 1), out);
  };
  std::vector<std::pair<std::string, std::string>> groups;
  const auto group = [&](const std::string& name) -> std::string& {
    for (auto& [known, lines] : groups) {
      if (known == name) return lines;
    }
    return groups.emplace_back(name, "").second;
  };
  for (const Key& key : all_keys()) {
    if (!has_part(key.part, m.settings.options) || list_of(key.path) != nullptr) continue;
    const std::optional<std::string> value = text(key, 0);
    if (!value) continue;
    const std::size_t dot = key.path.find('.');
    if (dot == std::string::npos) {
      group("") += fmt::format("{}: {}\n", key.path, *value);
    } else {
      group(key.path.substr(0, dot)) += fmt::format("  {}: {}\n", key.path.substr(dot + 1), *value);
    }
  }
  for (const List& list : all_lists()) {
    if (const std::string lines = list_text(list); !lines.empty()) {
      group(std::string(list.path.substr(0, list.path.find('.')))) += lines;
    }
  }
  std::string out;
  for (const auto& [name, lines] : groups) out += (name.empty() ? "" : name + ":\n") + lines;
  return out;
}

}  // namespace ovenproof::test
