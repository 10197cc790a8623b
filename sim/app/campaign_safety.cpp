#include "sim/app/campaign_safety.hpp"

#include <array>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "sim/app/campaign_report.hpp"
#include "sim/machine/error.hpp"

namespace ovenproof::app {

namespace {

using campaign::Reaction;
using campaign::SafetyComponent;
using campaign::SafetyFunction;
using campaign::SafetyMode;
using campaign::short_duration;
using safety::ModeFate;

constexpr std::array<std::string_view, safety::mode_fate_count> fate_names{
    "hazardous", "unnoticed", "noticed", "outage", "no_effect", "not tried", "excluded"};

std::string_view name_of(ModeFate fate) { return fate_names[static_cast<std::size_t>(fate)]; }

std::string line(std::string_view what, const std::string& text) {
  return table_row({std::string(what), text}, {14, 61});
}

std::string years(const std::optional<double>& value) {
  return value ? fmt::format("{:.1f} a", *value) : "not computed";
}

std::string percent(double share) { return fmt::format("{:.1f} %", share * 100.0); }

std::string claimed_text(const safety::Function& stated) {
  std::string text =
      stated.category ? fmt::format("category {}", name(*stated.category)) : "no category";
  if (stated.required)
    text += fmt::format(", performance level {} required", name(*stated.required));
  return text;
}

std::string mttfd_text(const safety::Estimate& e) {
  if (!e.channel_2_years) return years(e.mttfd_years);
  return fmt::format("channel 1 {}, channel 2 {}, each {}", years(e.channel_1_years),
                     years(e.channel_2_years), years(e.mttfd_years));
}

std::string modes_text(const SafetyFunction& function) {
  std::string text;
  for (std::size_t i = 0; i < function.fates.size(); ++i) {
    if (function.fates[i] == 0) continue;
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", function.fates[i], fate_names[i]);
  }
  return text.empty() ? "none stated" : text;
}

/// The dangerous modes that cost coverage, each with the injection that shows it.
std::string uncovered(const SafetyFunction& function, const Style& style) {
  std::string text;
  for (const SafetyComponent& component : function.components) {
    for (const SafetyMode& mode : component.modes) {
      if (mode.fate == ModeFate::noticed || mode.fate == ModeFate::excluded) continue;
      const std::string word = fmt::format("{:<13}", name_of(mode.fate));
      const std::string number = mode.number ? fmt::format(" #{}", *mode.number) : "";
      const std::vector<std::string> lines = wrapped(
          fmt::format("{}, {} of {}{}", mode.mode, percent(mode.share), component.name, number),
          61);
      for (std::size_t i = 0; i < lines.size(); ++i) {
        const std::string lead =
            i > 0 ? std::string(13, ' ')
                  : (mode.fate == ModeFate::hazardous ? style.error(word) : style.warning(word));
        text += fmt::format("  {}  {}\n", lead, lines[i]);
      }
    }
  }
  return text;
}

std::string coverage_text(const SafetyFunction& function) {
  const safety::Estimate& e = function.estimate;
  std::string text =
      e.coverage ? fmt::format("{} ({})", percent(*e.coverage), name(safety::band_of(*e.coverage)))
                 : "not computed";
  for (const SafetyComponent& component : function.components) {
    if (!component.coverage) continue;
    text += fmt::format("; {} {}{}", component.name, percent(*component.coverage),
                        component.claimed ? " claimed" : "");
  }
  return text;
}

std::string reaction_text(const std::optional<Reaction>& reaction,
                          const std::optional<double>& limit_s, const Style& style) {
  if (!reaction) return "none seen";
  const std::string text =
      fmt::format("{} at the slowest, #{}", short_duration(reaction->ms), reaction->number);
  if (!limit_s) return text;
  const auto limit_ms = static_cast<std::uint64_t>(*limit_s * 1000.0 + 0.5);
  const bool in_time = reaction->ms <= limit_ms;
  return fmt::format("{}; {}, {} allowed", text,
                     in_time ? style.good("in time") : style.error("TOO SLOW"),
                     short_duration(limit_ms));
}

/// The verdict on the function, before its figures. Colour codes have no columns, so only words of
/// the first line bear them.
std::string verdict_text(const SafetyFunction& function, const Style& style) {
  const std::vector<std::string> missed = campaign::misses(function);
  if (!missed.empty()) {
    std::string text;
    for (const std::string& each : missed) {
      for (const std::string& row : wrapped(each, 61)) {
        text += fmt::format(
            "  {}  {}\n",
            text.empty() ? style.error(fmt::format("{:<13}", "NOT MET")) : std::string(13, ' '),
            row);
      }
    }
    return text;
  }
  if (campaign::is_open(function)) return line("not judged", "not all that it needs is computed");
  return line("met", "as far as the following figures go");
}

std::string figures(const safety::Estimate& e) {
  std::string text;
  if (e.common_cause_points) {
    text += line("common causes", fmt::format("{} of 100 points", *e.common_cause_points));
  }
  if (e.pfhd_per_h) {
    text += line("PFHd", fmt::format("{:.2e} per hour, performance level {}", *e.pfhd_per_h,
                                     e.level ? name(*e.level) : "below a"));
  }
  if (e.cross_check_pfh_per_h) {
    text += line("cross-check",
                 fmt::format("{:.2e} per hour by IEC 61508-6", *e.cross_check_pfh_per_h));
  }
  if (e.pfd_average) {
    text += line("PFDavg", fmt::format("{:.2e} by IEC 61508-6", *e.pfd_average));
  }
  std::string needs;
  for (const std::string& each : e.needs)
    needs += fmt::format("{}{}", needs.empty() ? "" : "; ", each);
  if (!needs.empty()) text += line("not computed", "needs " + needs);
  for (const std::string& each : e.notes) text += line("note", each);
  return text;
}

std::string function_text(const SafetyFunction& function, const Style& style) {
  std::string text;
  for (const std::string& each : wrapped(machine::shown(function.stated->name, 200), 80)) {
    text += style.heading(each) + '\n';
  }
  text += verdict_text(function, style);
  text += line("claimed", claimed_text(*function.stated));
  text += line("MTTFd", mttfd_text(function.estimate));
  text += line("coverage", coverage_text(function));
  text += line("dangerous", "modes: " + modes_text(function));
  text += uncovered(function, style);
  const auto limit = function.stated->process_safety_time_s;
  const auto reaction = [&](std::string_view what, const std::optional<Reaction>& each) {
    text += fmt::format("  {:<14} {}\n", what, reaction_text(each, limit, style));
  };
  const bool partial = function.fates[static_cast<std::size_t>(ModeFate::not_tried)] > 0;
  if (partial) {
    text += line("notice", "not computed: not all dangerous modes were tried");
  } else {
    reaction("notice", function.fault);
  }
  if (function.demand) reaction("demand", function.demand);
  if (!limit) text += line("not compared", "needs process_safety_time");
  return text + figures(function.estimate);
}

nlohmann::ordered_json maybe(const std::optional<double>& value) {
  return value ? nlohmann::ordered_json(*value) : nlohmann::ordered_json();
}

nlohmann::ordered_json reaction_json(const std::optional<Reaction>& reaction) {
  if (!reaction) return {};
  return {{"ms", reaction->ms}, {"number", reaction->number}};
}

nlohmann::ordered_json component_json(const SafetyComponent& component) {
  nlohmann::ordered_json modes = nlohmann::ordered_json::array();
  for (const SafetyMode& mode : component.modes) {
    nlohmann::ordered_json each{
        {"mode", mode.mode}, {"share", mode.share}, {"fate", name_of(mode.fate)}};
    each["number"] = mode.number ? nlohmann::ordered_json(*mode.number) : nlohmann::ordered_json();
    modes.push_back(std::move(each));
  }
  return {{"name", component.name},
          {"coverage", maybe(component.coverage)},
          {"claimed", component.claimed},
          {"modes", std::move(modes)}};
}

}  // namespace

std::string safety_report(std::span<const SafetyFunction> functions, const Style& style) {
  if (functions.empty()) return "";
  std::string text = style.heading("Safety functions") + "\n\n";
  for (const SafetyFunction& function : functions) text += function_text(function, style) + '\n';
  return text + paragraph("Caution: " + std::string(safety::estimate_caution));
}

nlohmann::ordered_json safety_json(std::span<const SafetyFunction> functions) {
  using Json = nlohmann::ordered_json;
  Json all = Json::array();
  for (const SafetyFunction& function : functions) {
    const safety::Estimate& e = function.estimate;
    const safety::Function& stated = *function.stated;
    const std::vector<std::string> missed = campaign::misses(function);
    const bool partial = function.fates[static_cast<std::size_t>(ModeFate::not_tried)] > 0;
    Json components = Json::array();
    for (const SafetyComponent& each : function.components) {
      components.push_back(component_json(each));
    }
    Json fates = Json::object();
    for (std::size_t i = 0; i < fate_names.size(); ++i) {
      fates[std::string(fate_names[i])] = function.fates[i];
    }
    all.push_back(
        {{"name", stated.name},
         {"verdict", !missed.empty()               ? "not met"
                     : campaign::is_open(function) ? "not judged"
                                                   : "met"},
         {"not_met", missed},
         {"category", stated.category ? Json(name(*stated.category)) : Json()},
         {"required_level", stated.required ? Json(name(*stated.required)) : Json()},
         {"components", std::move(components)},
         {"dangerous_modes", std::move(fates)},
         {"slowest_notice", partial ? Json() : reaction_json(function.fault)},
         {"slowest_answer_to_demand", reaction_json(function.demand)},
         {"process_safety_time_s", maybe(stated.process_safety_time_s)},
         {"channel_1_mttfd_years", maybe(e.channel_1_years)},
         {"channel_2_mttfd_years", maybe(e.channel_2_years)},
         {"mttfd_years", maybe(e.mttfd_years)},
         {"average_coverage", maybe(e.coverage)},
         {"common_cause_points", e.common_cause_points ? Json(*e.common_cause_points) : Json()},
         {"pfhd_per_h", maybe(e.pfhd_per_h)},
         {"performance_level", e.level ? Json(name(*e.level)) : Json()},
         {"iec_61508_pfh_per_h", maybe(e.cross_check_pfh_per_h)},
         {"iec_61508_pfd_average", maybe(e.pfd_average)},
         {"not_computed_needs", e.needs},
         {"falls_short", e.shortfalls},
         {"notes", e.notes},
         {"caution", safety::estimate_caution}});
  }
  return all;
}

}  // namespace ovenproof::app
