#include "sim/app/size_report.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "sim/app/cautions.hpp"

namespace ovenproof::app {

namespace {

using sizing::Figure;
using sizing::Sizing;
using sizing::Verdict;

std::string group_title(std::string_view group) {
  if (group == "purge") return "Purge";
  if (group == "gas") return "Gas";
  if (group == "heat") return "Heating";
  if (group == "cooling") return "Cooling, under process gas with the fan running";
  if (group == "room") return "Exhaust and room";
  return "Before the door is opened";
}

std::string percent_text(double share) {
  if (std::fabs(share) >= 9.995) return share < 0 ? "< -999 %" : "> 999 %";
  const double rounded = std::round(share * 1000.0) / 10.0;
  return rounded == 0.0 ? "0.0 %" : fmt::format("{:+.1f} %", rounded);
}

std::string bound_text(const Figure& f) {
  std::string text;
  if (f.bound.relative > 0.0) text = fmt::format("{:.3g} %", f.bound.relative * 100.0);
  if (f.bound.absolute > 0.0) {
    text += fmt::format("{}{:.3g}{}{}", text.empty() ? "" : " + ", f.bound.absolute,
                        f.unit.empty() ? "" : " ", f.unit);
  }
  return text;
}

std::string predicted_cell(const Figure& f) {
  return f.predicted ? figure_text(*f.predicted, f.unit) : "never";
}

std::string simulated_cell(const Figure& f) {
  if (f.simulated) return figure_text(*f.simulated, f.unit);
  return f.measured_on.empty() ? "-" : "never";
}

/// Why a value is missing, and the remark where formula and simulation differ.
std::string notes(const Figure& f) {
  std::string out;
  const bool both = !f.predicted && !f.simulated;
  if (!f.predicted) out += paragraph("predicted: " + f.no_prediction, 4, 6);
  if (!f.simulated && (both || f.predicted) && f.no_simulation != "formulas alone were asked for") {
    out += paragraph("simulated: " + f.no_simulation, 4, 6);
  }
  if (!f.remark.empty()) {
    out += paragraph(fmt::format("remark: {} (bound {})", f.remark, bound_text(f)), 4, 6);
  }
  return out;
}

std::string explanation(const Figure& f) {
  std::string out = paragraph(fmt::format("{}: {}", f.formula->name, f.formula->equation), 4, 6);
  out += paragraph(fmt::format("source: {}", f.formula->source), 4, 6);
  for (const sizing::Assumption& each : f.assumptions) {
    out += paragraph(fmt::format("{}: {}{}", each.holds ? "assumes" : "NOT SO HERE", each.text,
                                 each.found.empty() ? "" : fmt::format(" ({})", each.found)),
                     4, 6);
  }
  if (!f.measured_on.empty()) out += paragraph(fmt::format("simulated: {}", f.measured_on), 4, 6);
  return out +
         paragraph("bound: " + bound_text(f) + ", " + std::string(name_of(f.verdict())), 4, 6);
}

std::string outcome(const Sizing& sizing, const Style& style) {
  const auto count = [&sizing](Verdict verdict) {
    return std::count_if(sizing.figures.begin(), sizing.figures.end(),
                         [verdict](const Figure& each) { return each.verdict() == verdict; });
  };
  const auto within = count(Verdict::within);
  const auto differ = count(Verdict::differs);
  if (within + differ == 0) {
    return paragraph(fmt::format("{} figures by formula, nothing simulated", sizing.figures.size()),
                     2, 4);
  }
  const std::string cycle =
      sizing.holds()
          ? style.good(paragraph("PASSED: the simulated cycle ended well", 2, 4))
          : style.error(paragraph("FAILED: the simulated cycle: " + sizing.cycle_problem, 2, 4));
  return cycle + paragraph(fmt::format("Formula and simulation agree within the bounds on {} of {} "
                                       "figures{}",
                                       within, within + differ,
                                       differ == 0 ? "." : "; on each other there is a remark."),
                           2, 4);
}

std::string figures_text(const Sizing& sizing, bool explain, const Style& style) {
  const std::vector<int> widths{39, 11, 11, 9};
  std::string out;
  std::string_view group;
  for (const Figure& f : sizing.figures) {
    if (f.group != group) {
      group = f.group;
      out += '\n' + style.heading(group_title(group)) + '\n';
      out += table_row({"", "predicted", "simulated", "deviation"}, widths);
    }
    const auto deviation = f.deviation();
    const std::string row = table_row(
        {f.what, predicted_cell(f), simulated_cell(f), deviation ? percent_text(*deviation) : ""},
        widths);
    const std::string below = explain ? notes(f) + explanation(f) : notes(f);
    out += f.verdict() == Verdict::differs ? style.warning(row + below) : row + below;
  }
  return out;
}

std::string floors_text(const sizing::FloorTable& table) {
  std::vector<int> widths{16};
  std::vector<std::string> head{"flow / ingress"};
  for (const double ingress : table.ingress_L_per_min) {
    widths.push_back(11);
    head.push_back(figure_text(ingress * 1000.0, "") + " mL/min");
  }
  std::string out = table_row(head, widths);
  for (std::size_t i = 0; i < table.flows_L_per_min.size(); ++i) {
    std::vector<std::string> cells{figure_text(table.flows_L_per_min[i], "L/min")};
    for (const double ppm : table.ppm[i]) {
      cells.push_back(figure_text(ppm, "") + (ppm > table.level_ppm ? " !" : ""));
    }
    out += table_row(cells, widths);
  }
  return out + paragraph(fmt::format("! above {:.4g} ppm, the level to hold: cannot be held with "
                                     "that flow and ingress",
                                     table.level_ppm),
                         2, 4);
}

}  // namespace

std::string figure_text(double value, std::string_view unit) {
  const double size = std::fabs(value);
  std::string text;
  if (unit == "%" && size < 1000.0) {
    text = fmt::format("{:.2f}", value);
  } else if (size != 0.0 && (size < 1e-3 || size >= 1e6)) {
    text = fmt::format("{:.2e}", value);
  } else {
    const int decimals = size >= 100.0 ? 0 : size >= 10.0 ? 1 : size >= 1.0 ? 2 : 3;
    text = fmt::format("{:.{}f}", value, decimals);
  }
  return unit.empty() ? text : fmt::format("{} {}", text, unit);
}

std::string size_report(const machine::Machine& machine, const Sizing& sizing, bool explain,
                        const Style& style) {
  std::string out = style.heading(paragraph(machine.name)) + outcome(sizing, style);
  for (const std::string& each : sizing.cautions) {
    out += style.warning(paragraph("Caution: " + each, 2, 4));
  }
  out += figures_text(sizing, explain, style);
  out += '\n' + style.heading("Lowest oxygen, ppm, by flow and by the air that finds its way in") +
         '\n' + floors_text(sizing.floors);
  for (const sizing::Curve& each : sizing.curves) out += '\n' + chart(each);
  if (!explain) {
    out += '\n' + paragraph("Formulas, sources, assumptions and bounds of each figure: --explain.");
  }
  out += '\n' + paragraph(caution);
  return out;
}

}  // namespace ovenproof::app
