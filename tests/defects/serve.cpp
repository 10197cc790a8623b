#include "serve.hpp"

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <iostream>
#include <map>
#include <optional>
#include <poll.h>
#include <stdexcept>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <nlohmann/json.hpp>

#include "library.hpp"
#include "places.hpp"
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
};

Order read_order(const std::string& line, std::size_t item_count) {
  const json text = json::parse(line);
  Order order{text.at("defect"), text.at("limit_s"), text.at("items"), text.at("own_beginning"),
              text.value("beside", none)};
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
    // Of each oven that has to be brought along with the defect, in the order in which they come:
    // its beginnings, and the items of each.
    std::vector<Way> ways;
    for (std::size_t i = 0; i < order.items.size() && !found_; ++i) {
      const std::size_t item = order.items[i];
      const std::size_t beginning = library_.beginning_of[item];
      if (beginning == Library::no_beginning) {
        play_one(item, nullptr);
      } else if (order.own_beginning[i]) {
        way_of(beginning, ways).items[beginning].push_back(item);
      } else {
        play_one(item, &*sound_[beginning]);
      }
    }
    for (const Way& way : ways) {
      if (!found_) play_way(way);
    }
    return found_.value_or(json{{"end", "survived"}});
  }

 private:
  struct Way {
    const scenario::OvenContext* oven;
    std::map<std::size_t, std::vector<std::size_t>> items;  ///< of each beginning
  };

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
    std::vector<std::vector<Finding>> without;
    for (const std::size_t item : order.items) without.push_back(played(item));
    break_also(order.defect);
    for (std::size_t i = 0; i < order.items.size(); ++i) {
      for (const Finding& finding : played(order.items[i])) {
        const bool known =
            std::any_of(without[i].begin(), without[i].end(), [&](const Finding& each) {
              return each.by == finding.by && each.name == finding.name;
            });
        if (!known) return killed(order.items[i], finding);
      }
    }
    return {{"end", "survived"}};
  }

  const Library& library_;
  const std::vector<std::optional<Checkpoint>>& sound_;
  std::optional<json> found_;
};

void limit_cpu(unsigned seconds) {
  const rlimit limit{seconds, seconds + 5};
  if (setrlimit(RLIMIT_CPU, &limit) != 0) throw std::runtime_error("cannot set a time limit");
}

/// All that the worker writes; nothing if it is silent for too long.
std::optional<std::string> listen(int pipe, unsigned limit_s) {
  std::string text;
  char piece[4096];
  while (true) {
    pollfd one{pipe, POLLIN, 0};
    const int ready = poll(&one, 1, static_cast<int>(limit_s) * 1000);
    if (ready < 0 && errno == EINTR) continue;
    if (ready <= 0) return std::nullopt;
    const ssize_t count = read(pipe, piece, sizeof piece);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return text;
    text.append(piece, static_cast<std::size_t>(count));
  }
}

json judged(const std::optional<std::string>& text, int status) {
  if (!text) return {{"end", "overdue"}, {"why", "stood still"}};
  if (WIFSIGNALED(status)) {
    const int signal = WTERMSIG(status);
    const bool overdue = signal == SIGXCPU || signal == SIGKILL;
    return {{"end", overdue ? "overdue" : "crashed"}, {"why", strsignal(signal)}};
  }
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0 || text->empty()) {
    return {{"end", "lost"}, {"why", *text}};
  }
  return json::parse(*text);
}

json in_a_process_of_its_own(const Order& order, const Library& library,
                             const std::vector<std::optional<Checkpoint>>& sound) {
  int ends[2];
  if (pipe(ends) != 0) throw std::runtime_error("no pipe");
  std::cout.flush();
  const pid_t child = fork();
  if (child < 0) throw std::runtime_error("cannot fork");
  if (child == 0) {
    close(ends[0]);
    std::string text;
    int status = 0;
    try {
      limit_cpu(order.limit_s);
      text = Worker(library, sound).play(order).dump();
    } catch (const std::exception& failure) {
      text = failure.what();
      status = 1;
    }
    const ssize_t written = write(ends[1], text.data(), text.size());
    _exit(written == static_cast<ssize_t>(text.size()) ? status : 1);
  }
  close(ends[1]);
  // The machine may have much else to do: time on the wall is no measure, but some end there is.
  const std::optional<std::string> text = listen(ends[0], order.limit_s * 20);
  close(ends[0]);
  if (!text) kill(child, SIGKILL);
  int status = 0;
  while (waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  json result = judged(text, status);
  result["defect"] = order.defect;
  return result;
}

}  // namespace

void serve(const std::vector<std::string>& paths) {
  const Library library = load(paths);
  std::vector<std::optional<Checkpoint>> sound(library.beginnings.size());
  std::vector<std::size_t> all;
  for (std::size_t i = 0; i < sound.size(); ++i) all.push_back(i);
  reach_beginnings(library, all, [&](std::size_t i, const Checkpoint& there) { sound[i] = there; });
  std::cout << json{{"items", library.items.size()}}.dump() << std::endl;
  for (std::string line; std::getline(std::cin, line);) {
    const Order order = read_order(line, library.items.size());
    std::cout << in_a_process_of_its_own(order, library, sound).dump() << std::endl;
  }
}

}  // namespace ovenproof::defects
