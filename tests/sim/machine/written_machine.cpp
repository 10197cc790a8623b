#include "written_machine.hpp"

#include <fstream>
#include <iterator>

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
std::string exact_text(const Key& key, const Machine& m, std::size_t item) {
  if (key.kind == KeyKind::text && !key.tag) {
    std::string quoted = "\"";
    for (const char c : m.*key.text) {
      if (c == '\n') {
        quoted += "\\n";
      } else {
        quoted += c;
      }
    }
    return quoted + '"';
  }
  if (key.kind != KeyKind::quantity) return value_text(key, m, item);
  return format_exactly(key.get(m, item), key.dimension, key.unit);
}
}  // namespace

std::string written(const Machine& m, const std::map<std::string, std::string>& instead) {
  std::string out;
  std::string section;
  std::string segments;
  const auto flush = [&] {
    out += segments;
    segments.clear();
  };
  const auto text = [&](const Key& key, std::size_t item) {
    const auto other = instead.find(full_path(key.path, item));
    return other == instead.end() ? exact_text(key, m, item) : other->second;
  };
  for (const Key& key : all_keys()) {
    if (!has_part(key.part, m.settings.options)) continue;
    if (key.kind == KeyKind::text && !key.tag && (m.*key.text).empty()) continue;
    const std::size_t dot = key.path.find('.');
    if (dot == std::string::npos) {
      out += fmt::format("{}: {}\n", key.path, text(key, 0));
      continue;
    }
    if (key.path.substr(0, dot) != section) {
      flush();
      section = key.path.substr(0, dot);
      out += section + ":\n";
    }
    if (!key.path.starts_with(segment_list)) {
      out += fmt::format("  {}: {}\n", key.path.substr(dot + 1), text(key, 0));
    } else if (key.path.ends_with(".target")) {
      // The items of the list are written at the first of their keys.
      segments += "  segments:\n";
      for (std::size_t i = 0; i < m.settings.programme.segment_count; ++i) {
        segments += fmt::format("    - target: {}\n", text(key, i));
        for (const std::string_view name : {"ramp", "soak"}) {
          const Key& other = *find_key(fmt::format("{}[].{}", segment_list, name));
          segments += fmt::format("      {}: {}\n", name, text(other, i));
        }
      }
    }
  }
  flush();
  return out;
}

}  // namespace ovenproof::test
