#include "sim/properties/signal_table.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace ovenproof::properties {
namespace {

Unit unit_or_throw(const std::string& name, std::string_view text) {
  std::optional<Unit> unit = parse_unit(text);
  if (!unit) {
    throw std::invalid_argument("`" + name + "`: unknown unit `" + std::string(text) + "`");
  }
  // A signal is one or the other: only a literal in K waits for its partner to tell.
  if (unit->reading == Reading::either) unit->reading = Reading::point;
  return *std::move(unit);
}

}  // namespace

bool is_name(std::string_view text) {
  bool begin = true;
  for (const char c : text) {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
    const bool digit = c >= '0' && c <= '9';
    if (begin ? !letter : !letter && !digit && c != '.') return false;
    begin = c == '.';
  }
  return !begin;
}

bool is_reserved_word(std::string_view text) {
  constexpr std::string_view words[] = {
      "abs",    "after",  "always", "and",          "at",      "changes", "eventually", "falls",
      "false",  "at_end", "for",    "historically", "implies", "in",      "at_start",   "least",
      "margin", "max",    "min",    "never",        "not",     "once",    "or",         "rises",
      "since",  "then",   "true",   "until",        "within"};
  return std::find(std::begin(words), std::end(words), text) != std::end(words);
}

void SignalTable::claim(const std::string& name) const {
  if (!is_name(name)) throw std::invalid_argument("`" + name + "` is not a name");
  if (is_reserved_word(name)) {
    throw std::invalid_argument("`" + name + "` is a word of the property language");
  }
  if (find_signal(name) || find_constant(name)) {
    throw std::invalid_argument("`" + name + "` is named twice");
  }
}

std::size_t SignalTable::add(SignalInfo info) {
  claim(info.name);
  signal_index_.emplace(info.name, signals_.size());
  signals_.push_back(std::move(info));
  return signals_.size() - 1;
}

std::size_t SignalTable::add_boolean(std::string name, std::string description) {
  return add({std::move(name), SignalKind::boolean, {}, {}, std::move(description)});
}

std::size_t SignalTable::add_number(std::string name, std::string_view unit,
                                    std::string description) {
  Unit parsed = unit_or_throw(name, unit);
  return add({std::move(name), SignalKind::number, std::move(parsed), {}, std::move(description)});
}

std::size_t SignalTable::add_state(std::string name, std::vector<std::string> labels,
                                   std::string description) {
  if (labels.empty() || labels.size() > 64) {
    throw std::invalid_argument("`" + name + "`: a state has 1 to 64 labels");
  }
  for (std::size_t i = 0; i < labels.size(); ++i) {
    if (!is_name(labels[i]) || is_reserved_word(labels[i])) {
      throw std::invalid_argument("`" + name + "`: `" + labels[i] + "` cannot be a label");
    }
    if (std::count(labels.begin(), labels.end(), labels[i]) != 1) {
      throw std::invalid_argument("`" + name + "`: label `" + labels[i] + "` is given twice");
    }
  }
  return add({std::move(name), SignalKind::state, {}, std::move(labels), std::move(description)});
}

void SignalTable::add_constant(std::string name, double value, std::string_view unit,
                               std::string description) {
  Unit parsed = unit_or_throw(name, unit);
  if (parsed.symbol == "K" && unit == "K") parsed.reading = Reading::either;
  if (!std::isfinite(value)) throw std::invalid_argument("`" + name + "` is not finite");
  claim(name);
  constant_index_.emplace(name, constants_.size());
  constants_.push_back({std::move(name), value, std::move(parsed), std::move(description)});
}

std::optional<std::size_t> SignalTable::find_signal(std::string_view name) const {
  const auto found = signal_index_.find(name);
  return found == signal_index_.end() ? std::nullopt : std::optional(found->second);
}

std::optional<std::size_t> SignalTable::find_constant(std::string_view name) const {
  const auto found = constant_index_.find(name);
  return found == constant_index_.end() ? std::nullopt : std::optional(found->second);
}

}  // namespace ovenproof::properties
