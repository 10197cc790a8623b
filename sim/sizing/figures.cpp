#include "sim/sizing/figures.hpp"

#include <cmath>

#include <fmt/format.h>

namespace ovenproof::sizing {

namespace {

/// What is not a finite number is no figure.
std::optional<double> finite(std::optional<double> value, double factor) {
  if (!value || !std::isfinite(*value * factor)) return std::nullopt;
  return *value * factor;
}

/// What differs, by how much, and what the formula does not regard. An assumption that this machine
/// does not meet comes first.
std::string remark_on(const Figure& figure) {
  const auto deviation = figure.deviation();
  std::string text = deviation ? fmt::format("formula and simulation differ by {:.3g} %: ",
                                             100.0 * std::fabs(*deviation))
                               : fmt::format("formula and simulation differ by {:.3g}{}{}: ",
                                             std::fabs(*figure.simulated - *figure.predicted),
                                             figure.unit.empty() ? "" : " ", figure.unit);
  for (const Assumption& each : figure.assumptions) {
    if (each.holds) continue;
    text += "assumption not met: " + each.text;
    if (!each.found.empty()) text += " (" + each.found + ")";
    text += "; ";
  }
  return text + fmt::format("the formula leaves out {}", figure.formula->leaves_out);
}

}  // namespace

Figure& FigureMaker::add(std::string_view group, std::string_view id, std::string what,
                         std::string_view unit, const formulas::Formula& formula,
                         std::optional<double> predicted, Bound bound) {
  Figure figure;
  figure.id = id;
  figure.group = group;
  figure.what = std::move(what);
  figure.unit = unit;
  figure.formula = &formula;
  figure.predicted = finite(predicted, 1.0);
  if (!figure.predicted) figure.no_prediction = "it never occurs";
  figure.bound = bound;
  figure.no_simulation =
      basis_.trials == nullptr ? "formulas alone were asked for" : "it is not simulated";
  figures_.push_back(std::move(figure));
  return figures_.back();
}

void FigureMaker::measured(Figure& figure, std::string_view on, std::optional<double> value,
                           double factor, std::string_view absent) const {
  if (basis_.trials == nullptr) return;
  figure.measured_on = on;
  figure.simulated = finite(value, factor);
  figure.no_simulation = figure.simulated ? "" : std::string(absent);
}

void FigureMaker::measured_in_cycle(Figure& figure, std::optional<double> value,
                                    double factor) const {
  if (basis_.trials == nullptr) return;
  const std::string& problem = basis_.trials->cycle->problem;
  measured(figure, "the firmware's own cycle", value, factor,
           problem.empty() ? "the cycle did not come to it" : problem);
}

std::vector<Figure> FigureMaker::take() && {
  for (Figure& figure : figures_) {
    if (figure.verdict() == Verdict::differs) figure.remark = remark_on(figure);
  }
  return std::move(figures_);
}

}  // namespace ovenproof::sizing
