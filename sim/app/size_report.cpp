#include "sim/app/size_report.hpp"

#include <cmath>

#include <fmt/format.h>

namespace ovenproof::app {

std::string figure_text(double value, std::string_view unit) {
  const double size = std::fabs(value);
  std::string text;
  if (unit == "%" && size < 1000.0) {
    text = fmt::format("{:.2f}", value);
  } else if (size != 0.0 && (size < 1e-3 || size >= 1e7)) {
    text = fmt::format("{:.2e}", value);
  } else {
    const int decimals = size >= 100.0 ? 0 : size >= 10.0 ? 1 : size >= 1.0 ? 2 : 3;
    text = fmt::format("{:.{}f}", value, decimals);
  }
  return unit.empty() ? text : fmt::format("{} {}", text, unit);
}

}  // namespace ovenproof::app
