#include "sim/machine/value.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "sim/machine/suggest.hpp"
#include "sim/machine/utf8.hpp"

namespace ovenproof::machine {

namespace {

using Answer = std::optional<Refusal>;

/// "2026-03-31", a day that the calendar has.
bool is_date(std::string_view text) {
  constexpr std::string_view form = "0000-00-00";
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  if (text.size() != form.size()) return false;
  for (std::size_t i = 0; i < form.size(); ++i) {
    if (form[i] == '-' ? text[i] != '-' : !digit(text[i])) return false;
  }
  const auto number = [&](std::size_t at, std::size_t digits) {
    int value = 0;
    for (const char c : text.substr(at, digits)) value = value * 10 + (c - '0');
    return value;
  };
  return std::chrono::year_month_day(std::chrono::year(number(0, 4)),
                                     std::chrono::month(static_cast<unsigned>(number(5, 2))),
                                     std::chrono::day(static_cast<unsigned>(number(8, 2))))
      .ok();
}

bool has_form(std::string_view text, TextForm form) {
  switch (form) {
    case TextForm::tag:
      return is_tag(text);
    case TextForm::date:
      return is_date(text);
    case TextForm::digest:
      return text.size() == 32 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
    case TextForm::any:
      break;
  }
  return true;
}

/// Escapes such as "\\e" in quoted text can bring in what the file itself may not hold.
bool has_controls(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return shown(text, text.size()) != text;
}

Answer put_text(const Node& node, const Key& key, std::size_t item, Machine& machine) {
  if (!has_form(node.text, key.form)) return Refusal{accepts_text(key), described(node), ""};
  const std::size_t length = utf8_count(node.text);
  if (length < 1 || static_cast<double>(length) > key.maximum) {
    return Refusal{accepts_text(key), fmt::format("{} characters", length), ""};
  }
  if (has_controls(node.text)) {
    return Refusal{"text without control characters", described(node), ""};
  }
  key.put_texts(machine, item, {node.text});
  return {};
}

/// Why a node is no name of this list of names.
Answer bad_name(const Node& node, const Key& key) {
  const auto& words = key.choices;
  if (node.kind != Node::Kind::scalar) return Refusal{"a name", described(node), ""};
  if (!words.empty()) {
    if (std::find(words.begin(), words.end(), node.text) != words.end()) return {};
    const std::string near = nearest(node.text, {words.begin(), words.end()});
    return Refusal{accepts_text(key), described(node),
                   near.empty() ? "" : fmt::format("did you mean {}?", near)};
  }
  const std::size_t length = utf8_count(node.text);
  if (length < 1 || length > longest_name || node.text.find('\n') != std::string::npos ||
      has_controls(node.text)) {
    return Refusal{fmt::format("a name of 1 to {} characters, in one line", longest_name),
                   described(node), ""};
  }
  return {};
}

Answer put_names(const Node& node, const Key& key, std::size_t item, Machine& machine) {
  if (node.kind != Node::Kind::sequence) return Refusal{accepts_text(key), described(node), ""};
  if (node.children.empty() || static_cast<double>(node.children.size()) > key.maximum) {
    return Refusal{accepts_text(key), fmt::format("{} names", node.children.size()), ""};
  }
  std::vector<std::string> names;
  for (const Node& child : node.children) {
    if (auto bad = bad_name(child, key)) return bad;
    if (std::find(names.begin(), names.end(), child.text) != names.end()) {
      return Refusal{"each name once", described(child), ""};
    }
    names.push_back(child.text);
  }
  key.put_texts(machine, item, std::move(names));
  return {};
}

Answer put_word(const Node& node, const Key& key, std::size_t item,
                const std::vector<std::string_view>& words, Machine& machine) {
  const auto word = std::find(words.begin(), words.end(), node.text);
  const bool quoted_flag = key.kind == KeyKind::flag && node.quoted;  // that is text, not a truth
  if (word != words.end() && !quoted_flag) {
    key.put(machine, item, static_cast<double>(word - words.begin()));
    return {};
  }
  const std::string near = nearest(node.text, {words.begin(), words.end()});
  return Refusal{accepts_text(key), described(node),
                 near.empty() || quoted_flag ? "" : fmt::format("did you mean {}?", near)};
}

std::string hint_for(const BadQuantity& bad, const Node& node, const Key& key) {
  switch (bad.why) {
    case BadQuantity::Why::no_unit:
      return fmt::format("the unit is missing: {} {}", shown(node.text), key.unit);
    case BadQuantity::Why::wrong_dimension:
    case BadQuantity::Why::unknown_unit:
      return fmt::format("units: {}", unit_list(key.dimension));
    default:
      return "";
  }
}

Answer put_number(const Node& node, const Key& key, std::size_t item, Machine& machine) {
  const auto parsed = parse_quantity(node.text, key.dimension);
  if (const auto* bad = std::get_if<BadQuantity>(&parsed)) {
    return Refusal{accepts_text(key), bad->found, hint_for(*bad, node, key)};
  }
  const double value = std::get<double>(parsed);
  if (!(value >= key.minimum && value <= key.maximum)) {
    return Refusal{accepts_text(key), described(node), ""};
  }
  if (key.resolution > 0.0) {
    const double steps = value / key.resolution;
    if (std::fabs(steps - std::round(steps)) > 1e-6) {
      const std::string_view unit = key.dimension == Dimension::time ? "ms" : key.unit;
      const std::string step = format_quantity(key.resolution, key.dimension, unit);
      return Refusal{key.kind == KeyKind::count
                         ? accepts_text(key)
                         : fmt::format("{}, in whole multiples of {}", accepts_text(key), step),
                     described(node), ""};
    }
  }
  key.put(machine, item, value);
  return {};
}

}  // namespace

std::optional<Refusal> put_value(const Node& node, const Key& key, std::size_t item,
                                 Machine& machine) {
  if (key.kind == KeyKind::names) return put_names(node, key, item, machine);
  if (node.kind != Node::Kind::scalar) return Refusal{accepts_text(key), described(node), ""};
  switch (key.kind) {
    case KeyKind::text:
      return put_text(node, key, item, machine);
    case KeyKind::names:
      break;
    case KeyKind::flag:
      return put_word(node, key, item, {"false", "true"}, machine);
    case KeyKind::choice:
      return put_word(node, key, item, key.choices, machine);
    case KeyKind::count:
    case KeyKind::quantity:
      return put_number(node, key, item, machine);
  }
  return Refusal{accepts_text(key), described(node), ""};
}

}  // namespace ovenproof::machine
