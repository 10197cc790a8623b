#include "sim/app/run_report.hpp"

#include <algorithm>
#include <functional>
#include <optional>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/app/cautions.hpp"
#include "sim/machine/cause_tags.hpp"

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

std::string trip_text(const cycle::Trip& trip, const machine::Machine& machine) {
  const logic::Row& row = logic::row_of(trip.cause);
  return fmt::format("tripped at {}, {}", clock_text(trip.ms),
                     machine::with_tags(row.text, row.key, machine));
}

/// Why the run failed, the earliest and gravest first. Empty if it did not.
std::vector<std::string> failures(const RunResult& result, const machine::Machine& machine) {
  std::vector<std::string> all;
  std::optional<std::uint64_t> first_hazard_ms;
  for (const HazardVerdict& each : result.hazards) {
    if (each.avoided || result.waived(each)) continue;
    const std::uint64_t ms = each.first_ms.value_or(0);
    std::string text = fmt::format("hazard at {}, {}", clock_text(ms), each.title);
    const bool first = !first_hazard_ms || ms < *first_hazard_ms;
    if (first) first_hazard_ms = ms;
    all.insert(first ? all.begin() : all.end(), std::move(text));
  }
  const bool trip_is_planned = result.door_opened_ms.has_value();
  if (result.first_trip && (!trip_is_planned || result.first_trip->ms < *result.door_opened_ms)) {
    const bool first = !first_hazard_ms || result.first_trip->ms < *first_hazard_ms;
    all.insert(first ? all.begin() : all.end(), trip_text(*result.first_trip, machine));
  }
  if (result.started_by_itself.value_or(false)) {
    all.emplace_back("something was energised by itself after the abnormal opening");
  }
  // A trip has been told better, with tag and time.
  if (!result.gave_up.empty() && !result.first_trip) all.push_back(result.gave_up);
  if (all.empty() && !result.all_holds()) all.push_back(result.gave_up);
  return all;
}

std::string cycles_text(const RunResult& result) {
  if (result.cycles_planned == 0) return "";
  return fmt::format("{} of {} complete", result.cycles_completed,
                     counted(result.cycles_planned, "cycle"));
}

/// The verdict in the first line, with what it rests on; the rest below.
std::string outcome_text(const RunResult& result, const machine::Machine& machine,
                         const Style& style) {
  const std::size_t waived = static_cast<std::size_t>(
      std::count_if(result.hazards.begin(), result.hazards.end(),
                    [&result](const HazardVerdict& each) { return result.waived(each); }));
  const std::string cycles = cycles_text(result);
  const std::string simulated = duration_text(result.simulated_s) + " simulated";
  const std::string hazards = fmt::format(
      "{} of {} occurred{}", result.hazards_found(), counted(result.hazards.size(), "hazard"),
      waived == 0 ? "" : fmt::format(", and {} that the plan waives", waived));
  std::string out;
  if (result.all_holds()) {
    out = paragraph(
        fmt::format("HOLDS: {}", cycles.empty() ? "after the abnormal opening nothing was "
                                                  "energised by itself"
                                                : cycles),
        2, 4);
  } else {
    const std::vector<std::string> why = failures(result, machine);
    out = paragraph("FAILED: " + why.front(), 2, 4);
    for (std::size_t i = 1; i < why.size(); ++i) out += paragraph("also: " + why[i], 2, 4);
    if (!cycles.empty()) out += paragraph(cycles, 2, 4);
  }
  out += paragraph(fmt::format("{}, {}", hazards, simulated), 2, 4);
  return result.all_holds() ? style.good(out) : style.error(out);
}

std::string timeline_text(const RunResult& result, const machine::Machine& machine,
                          const Style& style) {
  // Long runs take more than the usual eleven columns of hours, minutes and seconds.
  const auto last_ms = result.events.empty() ? 0 : result.events.back().ms;
  const int clock = std::max(11, columns_of(clock_text(last_ms)));
  const std::vector<int> widths{clock, 7, terminal_columns - 2 - clock - 7 - 2};
  std::string out;
  for (const Event& event : result.events) {
    if (event.kind == EventKind::output) continue;
    const std::string row = table_row({clock_text(event.ms), cycle::name_of(event.kind),
                                       machine::with_tags(event.text, event.cause, machine)},
                                      widths);
    const bool bad = event.kind == EventKind::trip || event.kind == EventKind::hazard;
    out += bad ? style.warning(row) : event.kind == EventKind::phase ? style.heading(row) : row;
  }
  return out;
}

struct FigureRow {
  const char* name;
  std::function<std::string(const Figures&)> text;
};

std::string shown(const cycle::Figure& figure, std::string (*text)(double)) {
  return figure ? text(*figure) : "-";
}

std::string ppm_text(double ppm) { return fmt::format("{:.1f} ppm", ppm); }

std::string share_text(double fraction) { return fmt::format("{:.2f} %", 100.0 * fraction); }

std::string degC_text(double degC) { return fmt::format("{:.1f} degC", degC); }

std::string soak_error_text(const Figures& f) {
  if (!f.soak_high_K) return "-";
  return fmt::format("+{:.1f} / {} K", *f.soak_high_K,
                     f.soak_low_K ? fmt::format("-{:.1f}", *f.soak_low_K) : "-");
}

const std::vector<FigureRow>& figure_rows() {
  static const std::vector<FigureRow> rows{
      {"purge time", [](const Figures& f) { return shown(f.purge_s, duration_text); }},
      {"oxygen at the gate",
       [](const Figures& f) { return shown(f.oxygen_at_gate_ppm, ppm_text); }},
      {"heat-up", [](const Figures& f) { return shown(f.heat_up_s, duration_text); }},
      {"soak", [](const Figures& f) { return shown(f.soak_s, duration_text); }},
      {"soak error, gas", soak_error_text},
      {"hottest gas", [](const Figures& f) { return degC_text(f.peak_degC); }},
      {"highest oxygen in soak",
       [](const Figures& f) { return shown(f.oxygen_in_soak_ppm, ppm_text); }},
      {"cool-down", [](const Figures& f) { return shown(f.cool_down_s, duration_text); }},
      {"start to end", [](const Figures& f) { return duration_text(f.end_s - f.start_s); }},
      {"gas used", [](const Figures& f) { return fmt::format("{:.0f} L", f.gas_L); }},
      {"energy", [](const Figures& f) { return fmt::format("{:.2f} kWh", f.energy_kWh); }},
      {"lowest oxygen in the room",
       [](const Figures& f) { return share_text(f.lowest_room_oxygen); }},
      {"door open below 19.5 %",
       [](const Figures& f) { return shown(f.low_oxygen_s, duration_text); }},
      {"oxygen when reached into",
       [](const Figures& f) { return shown(f.reached_oxygen, share_text); }},
      {"hottest load or wall then",
       [](const Figures& f) { return shown(f.handled_degC, degC_text); }},
      {"re-purges", [](const Figures& f) { return fmt::format("{}", f.repurges); }}};
  return rows;
}

/// Three cycles fit beside the names; a longer run goes on below.
std::string figures_text(const RunResult& result) {
  constexpr std::size_t beside = 3;
  std::string out;
  for (std::size_t first = 0; first < result.cycles.size(); first += beside) {
    if (first > 0) out += '\n';
    const std::size_t last = std::min(first + beside, result.cycles.size());
    std::vector<int> widths{26};
    std::vector<std::string> heads{""};
    for (std::size_t i = first; i < last; ++i) {
      widths.push_back(16);
      heads.push_back(
          fmt::format("cycle {}{}", i + 1, result.cycles[i].complete ? "" : "\nbroken off"));
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
    const bool waived = result.waived(each);
    const char* verdict = each.avoided ? "avoided" : waived ? "waived" : "HAZARD";
    std::string row = table_row({verdict, each.title, each.margin}, widths);
    if (!each.avoided) {
      row += table_row({"", fmt::format("first at {}", clock_text(each.first_ms.value_or(0))), ""},
                       widths);
    }
    if (waived) {
      out += style.warning(row + paragraph(std::string(result.waiver->reason), 10, 10));
    } else {
      out += each.avoided ? row : style.error(row);
    }
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
  std::string out = style.heading(paragraph(machine.name)) + outcome_text(result, machine, style);
  if (result.attendant != cycle::Habit::usual) {
    const cycle::HabitInfo& habit = cycle::info(result.attendant);
    out += paragraph(fmt::format("attendant: {}, who {}", habit.name, habit.meaning), 2, 4);
  }
  out += '\n' + style.heading("Timeline") + '\n' + timeline_text(result, machine, style);
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
