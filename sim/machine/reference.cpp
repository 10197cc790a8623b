#include "sim/machine/reference.hpp"

#include <fmt/format.h>

#include "sim/machine/keys.hpp"

namespace ovenproof::machine {

namespace {

std::string_view feeds(const Key& key) {
  if (key.fills_plant) return key.setting.empty() ? "plant" : "both";
  return key.setting.empty() ? "report" : "controller";
}

std::string standard(const Key& key) {
  const std::string need = key.required ? "required" : default_text(key);
  if (key.part == Part::every_oven) return need.empty() ? "none" : need;
  const Decider by = decider(key.part);
  return fmt::format("{} (if `{}` is {})", need, by.key, by.must_be);
}

/// A bar would end the cell.
std::string cell(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '|') out += '\\';
    out += c;
  }
  return out;
}

}  // namespace

std::string key_reference() {
  std::string out;
  std::string section = "-";
  for (const Key& key : all_keys()) {
    std::string own = key.path.starts_with(segment_list) ? std::string(segment_list)
                      : key.path.find('.') == std::string::npos
                          ? ""
                          : key.path.substr(0, key.path.find('.'));
    if (own != section) {
      section = own;
      out += fmt::format("\n### {}{}\n\n", section.empty() ? "" : fmt::format("`{}`: ", section),
                         section_title(section));
      out += "| key | what | accepts | default | for | source |\n|---|---|---|---|---|---|\n";
    }
    out += fmt::format("| `{}` | {} | {} | {} | {} | {} |\n", key.path, cell(key.what),
                       cell(accepts_text(key)), cell(standard(key)), feeds(key), cell(key.source));
  }
  return out.substr(1);
}

}  // namespace ovenproof::machine
