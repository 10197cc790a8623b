#include "sim/app/diff_report.hpp"

#include <algorithm>
#include <iterator>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/machine/error.hpp"

namespace ovenproof::app {
namespace {

using evidence::Alteration;
using machine::shown;

constexpr std::size_t longest = 2000;  ///< bytes of a text that is shown

const char* title(std::string_view group) {
  constexpr std::pair<std::string_view, const char*> titles[] = {
      {"work", "What was done"},      {"verdicts", "Verdicts"},
      {"margins", "Margins"},         {"settings", "Settings"},
      {"I/O list", "I/O list"},       {"matrix", "Cause-and-effect matrix"},
      {"state chart", "State chart"}, {"reachable", "Reachable states"},
      {"figures", "Figures"},         {"build", "Build"}};
  static_assert(std::size(titles) == std::size(evidence::content_groups));
  return std::find_if(std::begin(titles), std::end(titles),
                      [group](const auto& each) { return each.first == group; })
      ->second;
}

/// In one line where it fits, else a line each.
std::string change_text(const Alteration& change) {
  const std::string key = shown(change.key, longest);
  const std::string word = change.turn == Alteration::Turn::worse    ? "WORSE "
                           : change.turn == Alteration::Turn::better ? "better "
                                                                     : "";
  const std::string before = change.before ? shown(*change.before, longest) : "";
  const std::string after = change.after ? shown(*change.after, longest) : "";
  std::string line = change.before && change.after
                         ? fmt::format("{}{}: {} -> {}", word, key, before, after)
                     : change.before ? fmt::format("{}gone: {}: {}", word, key, before)
                                     : fmt::format("{}new: {}: {}", word, key, after);
  if (columns_of(line) + 2 <= terminal_columns || !change.before || !change.after) {
    return paragraph(line, 2, 4);
  }
  return paragraph(fmt::format("{}{}:", word, key), 2, 4) + paragraph("A: " + before, 6, 9) +
         paragraph("B: " + after, 6, 9);
}

std::size_t count(const Compared& compared, Alteration::Turn turn) {
  return static_cast<std::size_t>(
      std::count_if(compared.changes.begin(), compared.changes.end(),
                    [turn](const Alteration& each) { return each.turn == turn; }));
}

std::string outcome(const Compared& compared, const Style& style) {
  if (compared.changes.empty()) return "  " + style.good("SAME") + ": nothing that is compared\n";
  std::string text = fmt::format("DIFFERENT: {} change{}", compared.changes.size(),
                                 compared.changes.size() == 1 ? "" : "s");
  const std::size_t worse = count(compared, Alteration::Turn::worse);
  const std::size_t better = count(compared, Alteration::Turn::better);
  if (worse != 0) text += fmt::format(", {} verdict{} WORSE", worse, worse == 1 ? "" : "s");
  if (better != 0) text += fmt::format(", {} verdict{} better", better, better == 1 ? "" : "s");
  text = paragraph(text, 2, 4);
  return worse != 0 ? style.error(text) : style.warning(text);
}

}  // namespace

std::string diff_report(const Compared& compared, std::size_t most, const Style& style) {
  std::string text;
  for (const int i : {0, 1}) {
    text +=
        style.heading(paragraph(fmt::format("{}  {}: {}", "AB"[i], shown(compared.path[i], longest),
                                            shown(compared.machine[i], longest)),
                                0, 3));
  }
  text += outcome(compared, style);
  for (const std::string_view group : evidence::content_groups) {
    std::vector<const Alteration*> of_group;
    for (const Alteration& each : compared.changes) {
      if (each.group == group) of_group.push_back(&each);
    }
    if (of_group.empty()) continue;
    // What got worse is told first.
    std::stable_partition(of_group.begin(), of_group.end(), [](const Alteration* each) {
      return each->turn == Alteration::Turn::worse;
    });
    const std::size_t told = most == 0 ? of_group.size() : std::min(most, of_group.size());
    text += '\n' + style.heading(fmt::format("{}, {}", title(group), of_group.size())) + '\n';
    for (std::size_t i = 0; i < told; ++i) {
      const std::string line = change_text(*of_group[i]);
      text += of_group[i]->turn == Alteration::Turn::worse ? style.error(line) : line;
    }
    if (told < of_group.size()) {
      text += fmt::format("  {} more are not printed; --all prints all of them\n",
                          of_group.size() - told);
    }
  }
  return text;
}

std::string diff_json(const Compared& compared) {
  using Json = nlohmann::ordered_json;
  Json changes = Json::array();
  for (const Alteration& each : compared.changes) {
    Json json{{"group", each.group}, {"key", each.key}};
    json["before"] = each.before ? Json(*each.before) : Json();
    json["after"] = each.after ? Json(*each.after) : Json();
    json["turn"] = each.turn == Alteration::Turn::worse    ? Json("worse")
                   : each.turn == Alteration::Turn::better ? Json("better")
                                                           : Json();
    changes.push_back(std::move(json));
  }
  const auto side = [&compared](int i) {
    return Json{{"path", compared.path[i]}, {"machine", compared.machine[i]}};
  };
  const Json json{{"a", side(0)},
                  {"b", side(1)},
                  {"same", compared.changes.empty()},
                  {"worse", count(compared, Alteration::Turn::worse)},
                  {"better", count(compared, Alteration::Turn::better)},
                  {"changes", std::move(changes)}};
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

}  // namespace ovenproof::app
