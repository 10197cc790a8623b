#include "sim/machine/checker.hpp"

#include <algorithm>

namespace ovenproof::machine {

namespace {

/// The row of the table behind a full path, and which item it means.
std::pair<const Key*, std::size_t> row(const std::string& full) {
  const std::size_t open = full.find('[');
  if (open == std::string::npos) return {find_key(full), 0};
  const std::size_t close = full.find(']', open);
  const std::size_t item = std::stoul(full.substr(open + 1, close - open - 1)) - 1;
  return {find_key(full.substr(0, open) + "[]" + full.substr(close + 1)), item};
}

}  // namespace

void Checker::need(bool holds, const std::vector<std::string>& keys, std::string expected,
                   std::string hint) {
  if (holds || !all_usable(keys)) return;
  const auto in_file = [&](const std::string& key) { return given_.at.contains(key); };
  const auto first = std::find_if(keys.begin(), keys.end(), in_file);
  const std::string& mine = first == keys.end() ? keys.front() : *first;
  Error error{file_, {1, 1}, mine, std::move(expected), text_of(mine), std::move(hint), {}};
  if (first != keys.end()) error.at = given_.at.at(mine);
  for (const std::string& key : keys) {
    if (key == mine) continue;
    const auto at = given_.at.find(key);
    error.related.push_back({at == given_.at.end() ? Place{} : at->second, key, text_of(key)});
  }
  errors_.push_back(std::move(error));
}

bool Checker::all_usable(const std::vector<std::string>& keys) const {
  return std::all_of(keys.begin(), keys.end(), [&](const std::string& key) {
    const auto [found, item] = row(key);
    return found != nullptr && !given_.is_bad(key) &&
           has_part(found->part, machine_.settings.options);
  });
}

std::string Checker::text_of(const std::string& full) const {
  const auto [key, item] = row(full);
  return has_value(*key, machine_, item) ? value_text(*key, machine_, item) : "nothing";
}

}  // namespace ovenproof::machine
