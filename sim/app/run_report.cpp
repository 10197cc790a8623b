#include "sim/app/run_report.hpp"

#include <functional>

#include <fmt/format.h>

#include "sim/app/cautions.hpp"

namespace ovenproof::app {
namespace {

using cycle::Event;
using cycle::EventKind;
using cycle::Figures;
using cycle::RunResult;
using hazards::HazardVerdict;

std::string duration_text(double seconds) {
  if (seconds < 120.0) return fmt::format("{:.1f} s", seconds);
  if (seconds < 7200.0) return fmt::format("{:.1f} min", seconds / 60.0);
  return fmt::format("{:.2f} h", seconds / 3600.0);
}

std::string outcome_text(const RunResult& result, const Style& style) {
  std::size_t hazards = 0;
  for (const HazardVerdict& each : result.hazards) hazards += each.avoided ? 0 : 1;
  std::string out;
  if (!result.gave_up.empty()) {
    out += paragraph(fmt::format("STOPPED EARLY: {}", result.gave_up), 2, 4);
  }
  if (hazards > 0) {
    out += paragraph(
        fmt::format("{} OF {} HAZARDS CAME ABOUT, see below", hazards, result.hazards.size()), 2,
        4);
  }
  if (result.started_by_itself) {
    out += paragraph(*result.started_by_itself
                         ? "SOMETHING WAS ENERGISED BY ITSELF after the abnormal opening"
                         : "after the abnormal opening nothing was energised by itself",
                     2, 4);
  }
  if (result.cycles_planned > 0) {
    out +=
        paragraph(fmt::format("{} of {} cycles complete in {} simulated", result.cycles_completed,
                              result.cycles_planned, duration_text(result.simulated_s)),
                  2, 4);
  }
  if (hazards == 0) {
    out += paragraph(fmt::format("none of {} hazards came about", result.hazards.size()), 2, 4);
  }
  return result.all_holds() ? style.good(out) : style.error(out);
}

std::string timeline_text(const RunResult& result, const Style& style) {
  const std::vector<int> widths{11, 7, 56};
  std::string out;
  for (const Event& event : result.events) {
    if (event.kind == EventKind::output) continue;
    const std::string row =
        table_row({clock_text(event.ms), cycle::name_of(event.kind), event.text}, widths);
    const bool bad = event.kind == EventKind::trip || event.kind == EventKind::hazard;
    out += bad ? style.warning(row) : event.kind == EventKind::phase ? style.heading(row) : row;
  }
  return out;
}

struct FigureRow {
  const char* name;
  std::function<std::string(const Figures&)> text;
};

const std::vector<FigureRow>& figure_rows() {
  static const std::vector<FigureRow> rows{
      {"purge time", [](const Figures& f) { return duration_text(f.purge_s); }},
      {"oxygen at the gate",
       [](const Figures& f) { return fmt::format("{:.1f} ppm", f.oxygen_at_gate_ppm); }},
      {"heat-up", [](const Figures& f) { return duration_text(f.heat_up_s); }},
      {"soak", [](const Figures& f) { return duration_text(f.soak_s); }},
      {"soak error, gas",
       [](const Figures& f) {
         return fmt::format("+{:.1f} / -{:.1f} K", f.soak_high_K, f.soak_low_K);
       }},
      {"hottest gas", [](const Figures& f) { return fmt::format("{:.1f} degC", f.peak_degC); }},
      {"highest oxygen in soak",
       [](const Figures& f) { return fmt::format("{:.1f} ppm", f.oxygen_in_soak_ppm); }},
      {"cool-down", [](const Figures& f) { return duration_text(f.cool_down_s); }},
      {"start to end", [](const Figures& f) { return duration_text(f.end_s - f.start_s); }},
      {"gas used", [](const Figures& f) { return fmt::format("{:.0f} L", f.gas_L); }},
      {"energy", [](const Figures& f) { return fmt::format("{:.2f} kWh", f.energy_kWh); }},
      {"lowest oxygen in the room",
       [](const Figures& f) { return fmt::format("{:.2f} %", 100.0 * f.lowest_room_oxygen); }},
      {"re-purges", [](const Figures& f) { return fmt::format("{}", f.repurges); }}};
  return rows;
}

/// Three cycles fit beside the names; a longer run goes on below.
std::string figures_text(const RunResult& result) {
  constexpr std::size_t beside = 3;
  std::string out;
  for (std::size_t first = 0; first < result.cycles.size(); first += beside) {
    const std::size_t last = std::min(first + beside, result.cycles.size());
    std::vector<int> widths{26};
    std::vector<std::string> heads{""};
    for (std::size_t i = first; i < last; ++i) {
      widths.push_back(16);
      heads.push_back(
          fmt::format("cycle {}{}", i + 1, result.cycles[i].complete ? "" : " (broken off)"));
    }
    out += table_row(heads, widths);
    for (const FigureRow& row : figure_rows()) {
      std::vector<std::string> cells{row.name};
      for (std::size_t i = first; i < last; ++i) cells.push_back(row.text(result.cycles[i]));
      out += table_row(cells, widths);
    }
  }
  return out;
}

std::string hazards_text(const RunResult& result, const Style& style) {
  const std::vector<int> widths{7, 44, 24};
  std::string out;
  for (const HazardVerdict& each : result.hazards) {
    const std::string row =
        table_row({each.avoided ? "avoided" : "HAZARD", each.title, each.margin}, widths);
    out += each.avoided ? row : style.error(row);
  }
  return out;
}

}  // namespace

std::string clock_text(std::uint64_t ms) {
  return fmt::format("{}:{:02}:{:02}.{:02}", ms / 3'600'000, ms / 60'000 % 60, ms / 1000 % 60,
                     ms / 10 % 100);
}

std::string run_report(const machine::Machine& machine, const RunResult& result,
                       const Style& style) {
  std::string out = style.heading(paragraph(machine.name)) + outcome_text(result, style);
  out += '\n' + style.heading("Timeline") + '\n' + timeline_text(result, style);
  if (!result.cycles.empty()) {
    out += '\n' + style.heading("Key figures, measured on the oven and not on its controller") +
           '\n' + figures_text(result);
  }
  out += '\n' + style.heading("Hazards, judged on what physically happened") + '\n' +
         hazards_text(result, style);
  out += '\n' + paragraph(caution);
  return out;
}

}  // namespace ovenproof::app
