#pragma once
#include <cstddef>
#include <optional>
#include <unordered_map>
#include <vector>

#include "point.hpp"

namespace ovenproof::defects {

/// Timers that a logic may run or look at from a point on, whatever the facts are. Nobody can tell
/// whether any other has elapsed.
class AskedAhead {
 public:
  /// `logic` must outlive it, and is put to other states.
  explicit AskedAhead(logic::Logic& logic) : logic_(logic) {}

  /// To the end of the scan.
  [[nodiscard]] logic::TimerSet in_scan(const Point& from) { return nodes_[walked(from)].in_scan; }
  /// In the scan after it.
  [[nodiscard]] logic::TimerSet in_next(const Point& from) { return in_next_of(walked(from)); }

 private:
  struct Node {
    logic::TimerSet in_scan = 0;
    std::optional<logic::TimerSet> in_next = {};
    std::vector<std::size_t> next = {};         ///< a step on
    std::optional<logic::LogicState> end = {};  ///< where the scan is over
  };

  std::size_t walked(const Point& from);
  logic::TimerSet in_next_of(std::size_t node);

  logic::Logic& logic_;
  std::unordered_map<Point, std::size_t, HashPoint> number_;
  std::vector<Node> nodes_;
};

}  // namespace ovenproof::defects
