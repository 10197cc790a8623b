#include <algorithm>

#include <fmt/format.h>

#include "sim/app/cautions.hpp"
#include "sim/app/size_report.hpp"

namespace ovenproof::app {

namespace {

using sizing::Figure;

constexpr int setting_columns = 13;
constexpr int value_columns = 11;
constexpr int lone_columns = 18;  ///< of a value that has no other beside it

char axis_letter(std::size_t axis) { return static_cast<char>('A' + axis); }

/// The first figure with this id at any point: heads the column. Null if no point has it.
const Figure* any_figure(const Sweep& sweep, const std::string& id) {
  for (const sizing::Sizing& each : sweep.sizings) {
    if (const Figure* figure = find_figure(each.figures, id)) return figure;
  }
  return nullptr;
}

std::string cell(const Figure* figure, bool simulated) {
  if (figure == nullptr) return "";
  const auto& value = simulated ? figure->simulated : figure->predicted;
  if (!value) return simulated ? "-" : "never";
  const bool out = simulated && figure->verdict() == sizing::Verdict::differs;
  return figure_text(*value, "") + (out ? " !" : "");
}

/// As many figures as fit beside the settings.
std::string block(const Sweep& sweep, std::size_t first, std::size_t last, bool simulated) {
  std::vector<int> widths(sweep.axes.size(), setting_columns);
  std::vector<std::string> head;
  std::string out;
  for (std::size_t a = 0; a < sweep.axes.size(); ++a) head.emplace_back(1, axis_letter(a));
  std::vector<std::string> second(sweep.axes.size());
  for (std::size_t i = first; i < last; ++i) {
    const Figure* figure = any_figure(sweep, sweep.figures[i]);
    const std::string unit =
        figure == nullptr || figure->unit.empty() ? "" : fmt::format(", {}", figure->unit);
    // The name may go over both of its columns.
    widths.push_back(simulated ? 2 * value_columns + 1 : lone_columns);
    head.push_back(sweep.figures[i] + unit);
  }
  out += table_row(head, widths);
  widths.resize(sweep.axes.size());
  for (std::size_t i = first; i < last; ++i) {
    widths.push_back(simulated ? value_columns : lone_columns);
    second.emplace_back(simulated ? "predicted" : "");
    if (!simulated) continue;
    widths.push_back(value_columns);
    second.emplace_back("simulated");
  }
  if (simulated) out += table_row(second, widths);
  for (std::size_t p = 0; p < sweep.points.size(); ++p) {
    std::vector<std::string> cells;
    for (std::size_t a = 0; a < sweep.axes.size(); ++a) {
      cells.push_back(sweep.axes[a].text(sweep.points[p].at[a]));
    }
    for (std::size_t i = first; i < last; ++i) {
      const Figure* figure = find_figure(sweep.sizings[p].figures, sweep.figures[i]);
      cells.push_back(cell(figure, false));
      if (simulated) cells.push_back(cell(figure, true));
    }
    out += table_row(cells, widths);
  }
  return out;
}

}  // namespace

bool Sweep::holds() const {
  return std::all_of(sizings.begin(), sizings.end(),
                     [](const sizing::Sizing& each) { return each.holds(); });
}

std::string sweep_report(const Sweep& sweep, const Style& style) {
  const bool simulated =
      std::any_of(sweep.sizings.begin(), sweep.sizings.end(), [](const sizing::Sizing& each) {
        return std::any_of(each.figures.begin(), each.figures.end(),
                           [](const Figure& figure) { return figure.simulated.has_value(); });
      });
  const auto failed = std::count_if(sweep.sizings.begin(), sweep.sizings.end(),
                                    [](const sizing::Sizing& each) { return !each.holds(); });
  std::string out = style.heading(paragraph(sweep.points.front().machine.name));
  const std::string outcome =
      !simulated ? fmt::format("{} points by formula, nothing simulated", sweep.points.size())
      : failed == 0
          ? fmt::format("PASSED: the simulated cycle ended well at all {} points",
                        sweep.points.size())
          : fmt::format("FAILED: {} of {} points, see below", failed, sweep.points.size());
  out += failed == 0 ? style.good(paragraph(outcome, 2, 4)) : style.error(paragraph(outcome, 2, 4));
  for (std::size_t a = 0; a < sweep.axes.size(); ++a) {
    out += paragraph(fmt::format("{} is {}", axis_letter(a), sweep.axes[a].path), 2, 4);
  }
  const int left =
      terminal_columns - 2 - static_cast<int>(sweep.axes.size()) * (setting_columns + 1);
  const int figure_columns = simulated ? 2 * (value_columns + 1) : lone_columns + 1;
  // Nothing need stand behind the last of them.
  const auto beside = static_cast<std::size_t>(std::max(1, (left + 1) / figure_columns));
  for (std::size_t first = 0; first < sweep.figures.size(); first += beside) {
    const std::size_t last = std::min(first + beside, sweep.figures.size());
    out += '\n' + block(sweep, first, last, simulated);
  }
  if (simulated)
    out += paragraph(
        "! formula and simulation differ by more than the bound: size that machine alone for the "
        "remark",
        2, 4);
  for (std::size_t i = 0; i < sweep.points.size(); ++i) {
    if (sweep.sizings[i].holds()) continue;
    std::string where;
    for (std::size_t a = 0; a < sweep.axes.size(); ++a) {
      where += fmt::format("{}{} = {}", a == 0 ? "" : ", ", sweep.axes[a].path,
                           sweep.axes[a].text(sweep.points[i].at[a]));
    }
    const std::string& problem = sweep.sizings[i].cycle_problem;
    out += style.error(paragraph(fmt::format("{}: the simulated cycle: {}", where, problem), 2, 4));
  }
  return out + '\n' + paragraph(caution);
}

}  // namespace ovenproof::app
