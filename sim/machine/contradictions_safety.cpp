#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "sim/machine/checker.hpp"
#include "sim/machine/suggest.hpp"
#include "sim/safety/measures.hpp"

namespace ovenproof::machine {

namespace {

std::string component_key(std::size_t item, std::string_view name) {
  return fmt::format("safety.components[{}].{}", item + 1, name);
}
std::string function_key(std::size_t item, std::string_view name) {
  return fmt::format("safety.functions[{}].{}", item + 1, name);
}

void check_component(Checker& check, const safety::Component& part, std::size_t i) {
  const auto key = [i](std::string_view name) { return component_key(i, name); };
  const auto not_both = [&](bool one, bool other, std::string_view a, std::string_view b) {
    check.need(!(one && other), {key(b), key(a)}, fmt::format("{} or {}, not both", a, b));
  };
  const bool b10d = part.b10d_cycles.has_value();
  not_both(part.mttfd_years.has_value(), b10d, "mttfd", "b10d");
  not_both(part.mttfd_years.has_value(), part.t10d_years.has_value(), "mttfd", "t10d");
  not_both(part.t10d_years.has_value(), b10d, "t10d", "b10d");
  not_both(!part.modes.empty(), part.claimed_coverage.has_value(), "modes", "coverage");
  check.need(part.claimed_coverage.has_value() == part.claimed_by.has_value(),
             {key("coverage"), key("coverage_by")}, "coverage and coverage_by together");
  if (!part.claimed_coverage || !part.claimed_by) return;
  const safety::CoverageMeasure& measure = safety::coverage_measures.at(*part.claimed_by);
  check.need(*part.claimed_coverage <= measure.most, {key("coverage"), key("coverage_by")},
             fmt::format("at most {:.0f} %, all that {} is worth by ISO 13849-1 table E.1",
                         measure.most * 100.0, measure.name));
}

/// Every name of a list of components is that of one.
void check_members(Checker& check, const Machine& m, const std::vector<std::string>& members,
                   const std::string& key) {
  std::vector<std::string> known;
  for (const safety::Component& each : m.safety.components) known.push_back(each.name);
  for (const std::string& member : members) {
    const bool found = std::find(known.begin(), known.end(), member) != known.end();
    const std::string near = nearest(member, known);
    check.need(found, {key}, fmt::format("names of safety.components; {} is none of them", member),
               near.empty() ? "" : fmt::format("did you mean {}?", near));
  }
}

template <class Item>
void check_unique(Checker& check, const std::vector<Item>& items,
                  std::string (*key)(std::size_t, std::string_view)) {
  std::map<std::string, std::size_t> seen;
  for (std::size_t i = 0; i < items.size(); ++i) {
    const auto [first, fresh] = seen.emplace(items[i].name, i);
    check.need(fresh, {key(i, "name"), key(first->second, "name")}, "a name of its own");
  }
}

}  // namespace

void check_safety(Checker& check, const Machine& m) {
  check_unique(check, m.safety.components, component_key);
  check_unique(check, m.safety.functions, function_key);
  for (std::size_t i = 0; i < m.safety.components.size(); ++i) {
    check_component(check, m.safety.components[i], i);
  }
  for (std::size_t i = 0; i < m.safety.functions.size(); ++i) {
    const safety::Function& function = m.safety.functions[i];
    check_members(check, m, function.channel_1, function_key(i, "channel_1"));
    check_members(check, m, function.channel_2, function_key(i, "channel_2"));
    check_members(check, m, function.test_equipment, function_key(i, "test_equipment"));
    const bool two_channels = function.category && *function.category >= safety::Category::three;
    check.need(function.channel_2.empty() || !function.category || two_channels,
               {function_key(i, "channel_2"), function_key(i, "category")},
               "no second channel in category B, 1 or 2");
    check.need(function.test_equipment.empty() || function.category == safety::Category::two,
               {function_key(i, "test_equipment"), function_key(i, "category")},
               "test equipment in category 2 only");
  }
}

}  // namespace ovenproof::machine
