#include "sim/sizing/curve.hpp"

#include <algorithm>
#include <cmath>
#include <queue>

#include "sim/plant/portable_math.hpp"

namespace ovenproof::sizing {

namespace {

/// A stretch between two kept points, with the point in it that lies farthest from its line.
struct Stretch {
  double farthest = -1.0;
  std::size_t from = 0, to = 0, at = 0;
  /// The worst first; of equals the earlier, so that the result does not depend on the queue.
  bool operator<(const Stretch& other) const {
    return farthest != other.farthest ? farthest < other.farthest : from > other.from;
  }
};

Stretch looked_through(const std::vector<Point>& points, const std::vector<double>& height,
                       std::size_t from, std::size_t to) {
  Stretch stretch{-1.0, from, to, from};
  const double length = points[to].s - points[from].s;
  for (std::size_t i = from + 1; i < to; ++i) {
    const double share = length > 0.0 ? (points[i].s - points[from].s) / length : 0.0;
    const double off = std::fabs(height[i] - height[from] - share * (height[to] - height[from]));
    if (off > stretch.farthest) {
      stretch.farthest = off;
      stretch.at = i;
    }
  }
  return stretch;
}

}  // namespace

std::vector<Point> thinned(const std::vector<Point>& points, std::size_t most, bool log_axis) {
  if (points.size() <= most || most < 2) return points;
  constexpr double least = 1e-3;
  std::vector<double> height;
  height.reserve(points.size());
  for (const Point& each : points) {
    height.push_back(log_axis ? plant::portable::log(std::max(least, each.value)) : each.value);
  }
  std::vector<bool> kept(points.size(), false);
  kept.front() = kept.back() = true;
  std::priority_queue<Stretch> stretches;
  stretches.push(looked_through(points, height, 0, points.size() - 1));
  for (std::size_t count = 2; count < most && stretches.top().farthest > 0.0; ++count) {
    const Stretch worst = stretches.top();
    stretches.pop();
    kept[worst.at] = true;
    stretches.push(looked_through(points, height, worst.from, worst.at));
    stretches.push(looked_through(points, height, worst.at, worst.to));
  }
  std::vector<Point> out;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (kept[i]) out.push_back(points[i]);
  }
  return out;
}

}  // namespace ovenproof::sizing
