#include "sim/sizing/figure.hpp"

#include <algorithm>
#include <cmath>

namespace ovenproof::sizing {

std::string_view name_of(Verdict verdict) {
  switch (verdict) {
    case Verdict::not_compared:
      return "not compared";
    case Verdict::within:
      return "within";
    case Verdict::differs:
      break;
  }
  return "differs";
}

std::optional<double> Figure::deviation() const {
  if (!predicted || !simulated || *simulated == 0.0) return std::nullopt;
  return (*simulated - *predicted) / std::fabs(*simulated);
}

Verdict Figure::verdict() const {
  if (!predicted || !simulated) return Verdict::not_compared;
  const double allowed = bound.relative * std::fabs(*simulated) + bound.absolute;
  return std::fabs(*simulated - *predicted) <= allowed ? Verdict::within : Verdict::differs;
}

const Figure* find_figure(const std::vector<Figure>& figures, std::string_view id) {
  const auto found = std::find_if(figures.begin(), figures.end(),
                                  [id](const Figure& each) { return each.id == id; });
  return found == figures.end() ? nullptr : &*found;
}

}  // namespace ovenproof::sizing
