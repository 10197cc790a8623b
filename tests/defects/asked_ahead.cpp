#include "asked_ahead.hpp"

#include <algorithm>
#include <utility>

#include "sim/prove/packed_state.hpp"

namespace ovenproof::defects {

using logic::TimerSet;

/// The number of the point's node, from which the scan has been walked through to its end.
std::size_t AskedAhead::walked(const Point& from) {
  const auto [at, fresh] = number_.emplace(from, nodes_.size());
  const std::size_t self = at->second;
  if (!fresh) return self;
  nodes_.emplace_back();
  if (from.progress.next == logic::Step::done) {
    nodes_[self].end = from.state;
    return self;
  }
  TimerSet asked = 0;
  std::vector<Point> ways;
  prove::Adversary adversary;
  adversary.begin();
  do {
    ways.push_back(stepped(logic_, from, adversary));
    asked |= std::exchange(ways.back().progress.commands.timers, 0);
    asked |= static_cast<TimerSet>(adversary.reading().known >> logic::plain_fact_count);
  } while (adversary.next());
  std::vector<std::size_t> next;
  for (const Point& to : ways) {
    next.push_back(walked(to));
    asked |= nodes_[next.back()].in_scan;
  }
  std::sort(next.begin(), next.end());
  next.erase(std::unique(next.begin(), next.end()), next.end());
  nodes_[self].in_scan = asked;
  nodes_[self].next = std::move(next);
  return self;
}

TimerSet AskedAhead::in_next_of(std::size_t node) {
  if (nodes_[node].in_next) return *nodes_[node].in_next;
  TimerSet asked = 0;
  if (const std::optional<logic::LogicState> end = nodes_[node].end) {
    const std::uint64_t state = prove::with_representative(prove::pack(*end));
    asked = in_scan(begun(logic_, prove::unpack(state)));
  } else {
    // By index: nodes may be added on the way.
    for (std::size_t i = 0; i < nodes_[node].next.size(); ++i)
      asked |= in_next_of(nodes_[node].next[i]);
  }
  nodes_[node].in_next = asked;
  return asked;
}

}  // namespace ovenproof::defects
