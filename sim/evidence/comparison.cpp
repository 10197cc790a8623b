#include "sim/evidence/comparison.hpp"

#include <algorithm>
#include <iterator>
#include <map>

namespace ovenproof::evidence {
namespace {

bool done(const Content& content, std::string_view part) {
  return part.empty() ||
         std::find(content.parts.begin(), content.parts.end(), part) != content.parts.end();
}

Alteration::Turn turn(const Entry* before, const Entry* after) {
  const Weight a = before == nullptr ? Weight::none : before->weight;
  const Weight b = after == nullptr ? Weight::none : after->weight;
  if (b == Weight::bad && a != Weight::bad) return Alteration::Turn::worse;
  if (a == Weight::none || b == Weight::none || a == b) return Alteration::Turn::neither;
  return b > a ? Alteration::Turn::worse : Alteration::Turn::better;
}

std::optional<std::string> text(const Entry* entry) {
  return entry == nullptr ? std::nullopt : std::optional(entry->text);
}

std::size_t rank(const std::string& group) {
  return static_cast<std::size_t>(
      std::find(std::begin(content_groups), std::end(content_groups), group) -
      std::begin(content_groups));
}

}  // namespace

std::vector<Alteration> changes(const Content& first, const Content& second) {
  std::vector<Alteration> all;
  for (const std::string_view part : content_parts) {
    const bool before = done(first, part);
    const bool after = done(second, part);
    if (before == after) continue;
    const auto word = [](bool was) { return std::string(was ? "done" : "not done"); };
    all.push_back(
        {"work", std::string(part), word(before), word(after), Alteration::Turn::neither});
  }
  const auto both = [&](const Entry& entry) {
    return done(first, entry.part) && done(second, entry.part);
  };
  std::map<std::pair<std::string, std::string>, const Entry*> others;
  for (const Entry& each : second.entries) others[{each.group, each.key}] = &each;
  for (const Entry& each : first.entries) {
    const auto other = others.find({each.group, each.key});
    const Entry* after = other == others.end() ? nullptr : other->second;
    if (other != others.end()) others.erase(other);
    if (!both(each) || (after != nullptr && after->text == each.text)) continue;
    all.push_back({each.group, each.key, each.text, text(after), turn(&each, after)});
  }
  for (const Entry& each : second.entries) {
    if (!both(each) || !others.contains({each.group, each.key})) continue;
    all.push_back({each.group, each.key, std::nullopt, each.text, turn(nullptr, &each)});
  }
  std::stable_sort(all.begin(), all.end(), [](const Alteration& a, const Alteration& b) {
    return rank(a.group) < rank(b.group);
  });
  return all;
}

}  // namespace ovenproof::evidence
