#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "sim/app/size_report.hpp"
#include "sim/plant/portable_math.hpp"

namespace ovenproof::app {

namespace {

using sizing::Curve;
using sizing::Point;

constexpr int label_columns = 11;
constexpr int columns = 66;
constexpr int rows = 13;

/// The value at a time, linear between points; nothing outside of them.
std::optional<double> value_at(const std::vector<Point>& points, double s) {
  if (points.empty() || s < points.front().s || s > points.back().s) return std::nullopt;
  const auto after = std::lower_bound(points.begin(), points.end(), s,
                                      [](const Point& each, double at) { return each.s < at; });
  if (after == points.begin()) return after->value;
  const Point& a = *(after - 1);
  const double share = after->s > a.s ? (s - a.s) / (after->s - a.s) : 1.0;
  return a.value + share * (after->value - a.value);
}

/// Common logarithm; of what is not above 1e-3 that of 1e-3. The plant's own logarithm: the same
/// bits, and so the same drawing, on every machine.
double decades(double value) {
  constexpr double ln_10 = 2.302585092994045684;
  return plant::portable::log(std::max(value, 1e-3)) / ln_10;
}

/// Where a value stands on the axis, 0 at the bottom to 1 at the top.
struct Axis {
  bool logarithmic = false;
  double low = 0.0, high = 1.0;  ///< of the logarithm on a logarithmic axis

  [[nodiscard]] double place(double value) const {
    return std::clamp(((logarithmic ? decades(value) : value) - low) / (high - low), 0.0, 1.0);
  }
  [[nodiscard]] int row(double value) const {
    return static_cast<int>(std::lround(place(value) * (rows - 1)));
  }
};

Axis axis_for(const Curve& curve) {
  double low = INFINITY;
  double high = -INFINITY;
  for (const auto* const points : {&curve.predicted, &curve.simulated}) {
    for (const Point& each : *points) {
      low = std::min(low, each.value);
      high = std::max(high, each.value);
    }
  }
  Axis axis;
  axis.logarithmic = curve.log_axis;
  if (curve.log_axis) {
    constexpr double whole = 1e-9;  // a power of ten stands on its own line
    axis.low = std::floor(decades(low) + whole);
    axis.high = std::max(axis.low + 1.0, std::ceil(decades(high) - whole));
  } else {
    axis.low = std::min(0.0, low);
    axis.high = std::max(high, axis.low + 1.0);
  }
  return axis;
}

/// A round step that leaves at most five labels.
double round_step(double span) {
  const double least = span / 5.0;
  double decade = 1.0;
  while (decade * 10.0 <= least) decade *= 10.0;
  while (decade > least) decade /= 10.0;
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * decade >= least) return times * decade;
  }
  return 10.0 * decade;
}

std::string ppm_label(double decade) {
  double ppm = 1.0;
  for (; decade >= 1.0; --decade) ppm *= 10.0;
  for (; decade <= -1.0; ++decade) ppm /= 10.0;
  return ppm >= 1e4 ? fmt::format("{:g} %", ppm / 1e4) : fmt::format("{:g} ppm", ppm);
}

std::vector<std::string> labels(const Axis& axis, std::string_view unit) {
  std::vector<std::string> all(rows);
  if (axis.logarithmic) {
    for (double decade = axis.low; decade <= axis.high; ++decade) {
      all[static_cast<std::size_t>(std::lround((decade - axis.low) / (axis.high - axis.low) *
                                               (rows - 1)))] = ppm_label(decade);
    }
    return all;
  }
  const double step = round_step(axis.high - axis.low);
  for (double at = std::ceil(axis.low / step) * step; at <= axis.high; at += step) {
    all[static_cast<std::size_t>(axis.row(at))] = fmt::format("{:.6g} {}", at, unit);
  }
  return all;
}

using Canvas = std::vector<std::string>;  ///< [row from the bottom]

/// Draws what happens in each column, from its lowest to its highest.
void draw(Canvas& canvas, const std::vector<Point>& points, const Axis& axis, double end_s,
          char mark) {
  std::optional<int> before;
  for (int column = 0; column < columns; ++column) {
    const auto value = value_at(points, end_s * column / (columns - 1));
    if (!value) continue;
    const int row = axis.row(*value);
    int from = row;
    if (before && *before > row) from = std::min(*before - 1, row + rows);
    if (before && *before < row) from = *before + 1;
    for (int at = std::min(from, row); at <= std::max(from, row); ++at) {
      char& here = canvas[static_cast<std::size_t>(at)][static_cast<std::size_t>(column)];
      here = here == ' ' || here == mark ? mark : '#';
    }
    before = row;
  }
}

std::string time_axis(double end_s) {
  const bool hours = end_s >= 2.0 * 3600.0;
  const double unit_s = hours ? 3600.0 : 60.0;
  const double step = round_step(end_s / unit_s);
  std::string line(columns, ' ');
  for (double at = 0.0; at * unit_s <= end_s; at += step) {
    const std::string text = fmt::format("{:.4g}", at);
    const auto column = static_cast<std::size_t>(at * unit_s / end_s * (columns - 1));
    if (column + text.size() + 4 > columns) break;
    line.replace(column, text.size(), text);
  }
  const std::string unit = hours ? "h" : "min";
  line.replace(columns - unit.size(), unit.size(), unit);
  return line;
}

}  // namespace

std::string chart(const Curve& curve) {
  double end_s = 0.0;
  for (const auto* const points : {&curve.predicted, &curve.simulated}) {
    if (!points->empty()) end_s = std::max(end_s, points->back().s);
  }
  std::string out = fmt::format("{}, {}   . predicted{}\n", curve.what, curve.unit,
                                curve.simulated.empty() ? "" : "   o simulated   # both");
  if (!(end_s > 0.0)) return out + "  nothing to draw: the gate is never met\n";
  const Axis axis = axis_for(curve);
  Canvas canvas(rows, std::string(columns, ' '));
  draw(canvas, curve.predicted, axis, end_s, '.');
  draw(canvas, curve.simulated, axis, end_s, 'o');
  const std::vector<std::string> label = labels(axis, curve.unit);
  for (int row = rows - 1; row >= 0; --row) {
    const auto at = static_cast<std::size_t>(row);
    std::string line = fmt::format("{:>{}} |{}", label[at], label_columns, canvas[at]);
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + '\n';
  }
  out += fmt::format("{:>{}} +{}\n", "", label_columns, std::string(columns, '-'));
  out += fmt::format("{:>{}}  {}\n", "", label_columns, time_axis(end_s));
  return out;
}

}  // namespace ovenproof::app
