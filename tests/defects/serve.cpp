#include "serve.hpp"

#include <algorithm>
#include <iostream>
#include <map>
#include <optional>
#include <stdexcept>
#include <utility>

#include <nlohmann/json.hpp>

#include "library.hpp"
#include "places.hpp"
#include "process.hpp"
#include "recording.hpp"

namespace ovenproof::defects {
namespace {

using nlohmann::json;

struct Order {
  int defect = 0;
  unsigned limit_s = 0;
  std::vector<std::size_t> items;
  std::vector<bool> own_beginning;
  int beside = none;
  bool alone = false;
  bool brief = false;
};

Order read_order(const std::string& line, std::size_t item_count) {
  const json text = json::parse(line);
  Order order{text.at("defect"),         text.at("limit_s"),         text.at("items"),
              text.at("own_beginning"),  text.value("beside", none), text.value("alone", false),
              text.value("brief", false)};
  if (order.items.size() != order.own_beginning.size() || order.limit_s == 0) {
    throw std::runtime_error("not an order: " + line);
  }
  for (const std::size_t item : order.items) {
    if (item >= item_count) throw std::runtime_error("no such item in the order: " + line);
  }
  return order;
}

/// In the process of the defect.
class Worker {
 public:
  Worker(const Library& library, const std::vector<std::optional<Checkpoint>>& sound)
      : library_(library), sound_(sound) {}

  json play(const Order& order) {
    if (order.beside != none) return play_beside(order);
    select(order.defect);
    std::vector<Way> ways;
    for (std::size_t i = 0; i < order.items.size() && !found_; ++i) {
      const std::size_t item = order.items[i];
      const std::size_t beginning = library_.beginning_of[item];
      if (beginning == Library::no_beginning) {
        play_one(item, nullptr);
        continue;
      }
      play_one(item, &*sound_[beginning]);
      if (!order.own_beginning[i] || order.brief) continue;
      way_of(beginning, ways).items[beginning].push_back(item);
      // It fails where the defect wakes only now: likely, but not surely, where it was awake
      // before.
      if (std::exchange(found_, std::nullopt)) play_way(way_to(item));
    }
    for (const Way& way : ways) {
      if (!found_) play_way(way);
    }
    return found_.value_or(json{{"end", "survived"}});
  }

 private:
  /// An oven that has to be brought along with the defect, and what is played where it begins.
  struct Way {
    const scenario::OvenContext* oven;
    std::map<std::size_t, std::vector<std::size_t>> items;  ///< of each beginning
  };

  Way way_to(std::size_t item) const {
    const std::size_t beginning = library_.beginning_of[item];
    return {library_.beginnings[beginning].oven, {{beginning, {item}}}};
  }

  Way& way_of(std::size_t beginning, std::vector<Way>& ways) const {
    const scenario::OvenContext* oven = library_.beginnings[beginning].oven;
    for (Way& way : ways) {
      if (way.oven == oven) return way;
    }
    return ways.emplace_back(Way{oven, {}});
  }

  void play_way(const Way& way) {
    std::vector<std::size_t> wanted;
    for (const auto& [beginning, items] : way.items) wanted.push_back(beginning);
    reach_beginnings(library_, wanted, [&](std::size_t beginning, const Checkpoint& there) {
      for (const std::size_t item : way.items.at(beginning)) {
        if (!found_) play_one(item, &there);
      }
    });
  }

  void play_one(std::size_t item, const Checkpoint* from) {
    const auto findings = findings_of(play_item(library_, item, from, true));
    if (!findings.empty()) found_ = killed(item, findings.front());
  }

  static json killed(std::size_t item, const Finding& finding) {
    return {{"end", "killed"},
            {"item", item},
            {"by", finding.by},
            {"why", finding.name + ": " + finding.why}};
  }

  json play_beside(const Order& order) const {
    const auto played = [&](std::size_t item) {
      const std::size_t beginning = library_.beginning_of[item];
      const Checkpoint* from = beginning == Library::no_beginning ? nullptr : &*sound_[beginning];
      return findings_of(play_item(library_, item, from, false));
    };
    select(order.beside);
    const int alone = order.alone ? order.defect : none;
    for (const std::size_t item : order.items) {
      break_also(order.defect, alone);
      const std::vector<Finding> with = played(item);
      if (with.empty()) continue;
      break_also(none, alone);
      const std::vector<Finding> without = played(item);
      for (const Finding& finding : with) {
        const bool known = std::any_of(without.begin(), without.end(), [&](const Finding& each) {
          return each.by == finding.by && each.name == finding.name;
        });
        if (!known) return killed(item, finding);
      }
    }
    return {{"end", "survived"}};
  }

  const Library& library_;
  const std::vector<std::optional<Checkpoint>>& sound_;
  std::optional<json> found_;
};

}  // namespace

void serve(const std::vector<std::string>& paths) {
  const Library library = load(paths);
  std::vector<std::optional<Checkpoint>> sound(library.beginnings.size());
  std::vector<std::size_t> all;
  for (std::size_t i = 0; i < sound.size(); ++i) all.push_back(i);
  reach_beginnings(library, all, [&](std::size_t i, const Checkpoint& there) { sound[i] = there; });
  json names = json::array();
  for (const scenario::Item& item : library.items) names.push_back(item.name());
  std::cout << json{{"items", names}}.dump() << std::endl;
  for (std::string line; std::getline(std::cin, line);) {
    const Order order = read_order(line, library.items.size());
    std::cout << in_a_process_of_its_own(order.defect, order.limit_s,
                                         [&] { return Worker(library, sound).play(order); })
                     .dump()
              << std::endl;
  }
}

}  // namespace ovenproof::defects
