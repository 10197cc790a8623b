#include "sim/app/campaign_report.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/app/campaign_safety.hpp"
#include "sim/app/cautions.hpp"
#include "sim/app/sign_off_report.hpp"
#include "sim/campaign/pair_findings.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::app {
namespace {

using campaign::Mode;
using campaign::ModeSummary;
using campaign::Outcome;
using campaign::Result;
using campaign::short_duration;

constexpr int outcome_column = 24;
constexpr int told_column = 34;

std::string word(Outcome outcome, bool accepted, const Style& style) {
  switch (outcome) {
    case Outcome::hazardous:
      return accepted ? style.warning("ACCEPTED ") : style.error("HAZARDOUS");
    case Outcome::unnoticed:
      return style.warning("unnoticed");
    case Outcome::noticed:
      return style.good("noticed  ");
    case Outcome::outage:
      return "outage   ";
    default:
      return "no effect";
  }
}

std::string hazard_text(const Result& result) {
  std::string text;
  for (const campaign::HazardHit& hit : result.hazards) {
    text += fmt::format("{}{} for {}", text.empty() ? "" : ", ",
                        hazards::default_hazards()[hit.hazard].id, short_duration(hit.lasted_ms));
    if (!hit.unit.empty()) text += fmt::format(", {:.3g} {} beyond", hit.beyond, hit.unit);
  }
  return text;
}

std::string detection_text(const Result& result) {
  if (!result.detection) return "no message";
  const campaign::Detection& detection = *result.detection;
  return fmt::format("{} in {}",
                     detection.trip ? logic::row_of(detection.first_out).key : "purges again",
                     short_duration(detection.reaction_ms));
}

std::string what_happened(const ModeSummary& summary) {
  const Result& worst = *summary.worst;
  switch (worst.outcome) {
    case Outcome::hazardous:
      return fmt::format("{}; {}", hazard_text(worst), detection_text(worst));
    case Outcome::unnoticed: {
      const auto unnoticed = summary.outcomes[static_cast<std::size_t>(Outcome::unnoticed)];
      return worst.decided == campaign::Decided::never_met && unnoticed == summary.injections
                 ? "nothing meets it"
                 : fmt::format("unnoticed in {} of {}", unnoticed, summary.injections);
    }
    case Outcome::noticed:
      return detection_text(worst);
    default:
      return "";
  }
}

/// Worst first: by outcome, then by how many times.
bool before(const ModeSummary& a, const ModeSummary& b) {
  if (!a.worst || !b.worst) return a.worst.has_value() && !b.worst;
  if (a.worst->outcome != b.worst->outcome) return a.worst->outcome < b.worst->outcome;
  return a.mode < b.mode;
}

std::string mode_row(const ModeSummary& summary, const Mode& mode, const Style& style) {
  if (mode.excluded) {
    return fmt::format("  {:<21} excluded\n", mode.id) +
           paragraph("because " + mode.exclusion_reason, outcome_column, outcome_column);
  }
  const bool accepted = !mode.accepted_reason.empty();
  const std::vector<std::string> told = wrapped(what_happened(summary), 80 - told_column - 8);
  std::string text;
  if (columns_of(mode.id) > 21) {
    text = fmt::format("  {}\n{:24}", mode.id, "");
  } else {
    text = fmt::format("  {:<21} ", mode.id);
  }
  text += fmt::format("{} {:<37} {:>7}\n", word(summary.worst->outcome, accepted, style),
                      told.front(), fmt::format("#{}", summary.worst->number));
  for (std::size_t i = 1; i < told.size(); ++i) {
    text += std::string(told_column, ' ') + told[i] + '\n';
  }
  if (summary.wrong_first_out) {
    text += paragraph(
        fmt::format("{} first-out in {}: {}, #{}", "WRONG", summary.wrong_first_outs,
                    detection_text(*summary.wrong_first_out), summary.wrong_first_out->number),
        outcome_column, outcome_column + 2);
  }
  return text;
}

std::string modes_table(const CampaignView& view, const Style& style) {
  std::vector<ModeSummary> all = campaign::summarize(view.plan, view.results);
  // Components by their worst mode, then in the order of the plan.
  std::map<std::string, std::vector<ModeSummary>> by_component;
  std::vector<std::string> order;
  for (ModeSummary& each : all) {
    const Mode& mode = view.plan.modes[each.mode];
    if (!each.worst && !mode.excluded) continue;
    const std::string& component = mode.component;
    if (by_component[component].empty()) order.push_back(component);
    by_component[component].push_back(std::move(each));
  }
  for (auto& [component, modes] : by_component)
    std::stable_sort(modes.begin(), modes.end(), before);
  std::stable_sort(order.begin(), order.end(), [&](const std::string& a, const std::string& b) {
    const ModeSummary& worst_a = by_component[a].front();
    const ModeSummary& worst_b = by_component[b].front();
    return worst_a.worst && worst_b.worst && worst_a.worst->outcome != worst_b.worst->outcome
               ? worst_a.worst->outcome < worst_b.worst->outcome
               : false;
  });
  std::string text;
  for (const std::string& component : order) {
    text += style.heading(component) + '\n';
    for (const ModeSummary& each : by_component[component]) {
      text += mode_row(each, view.plan.modes[each.mode], style);
    }
  }
  return text;
}

std::string pair_text(const CampaignView& view, const Result& result) {
  const campaign::Injection& injection = view.plan.injections[result.number];
  return fmt::format("{} unnoticed, then {} at {}",
                     campaign::first_of(view.plan, injection).mode.id,
                     campaign::second_of(view.plan, injection).mode.id,
                     campaign::second_of(view.plan, injection).instant.id);
}

/// Pairs that come to a hazard that neither causes alone, each two modes once.
std::string pairs_table(const CampaignView& view, const Style& style) {
  const std::vector<Result> bad = campaign::pair_findings(view.plan, view.results);
  const std::size_t pairs = view.plan.injections.size() - view.plan.singles;
  std::string text = style.heading("Two failures") + '\n';
  text +=
      paragraph(fmt::format("{} injected; {} to a hazard that neither of the two causes alone.",
                            counted(pairs, "pair"),
                            bad.size() == 1 ? "1 pair of modes leads"
                                            : fmt::format("{} pairs of modes lead", bad.size())),
                2, 2);
  for (const Result& result : bad) {
    text += paragraph(fmt::format("{}: {}; {} #{}", pair_text(view, result), hazard_text(result),
                                  detection_text(result), result.number),
                      2, 6);
  }
  return text;
}

}  // namespace

bool campaign_accepted(const CampaignView& view) {
  return std::all_of(view.results.begin(), view.results.end(), [&](const Result& result) {
    const campaign::Injection& injection = view.plan.injections[result.number];
    return injection.second || result.outcome != Outcome::hazardous ||
           !view.plan.modes[injection.mode].accepted_reason.empty();
  });
}

std::string campaign_report(const CampaignView& view, const Style& style) {
  std::array<std::size_t, static_cast<std::size_t>(Outcome::count)> modes{};
  std::size_t refused = 0;
  std::vector<machine::ModeRemark> accepted;
  std::size_t wrong = 0;
  std::size_t run = 0;
  std::size_t not_tried = 0;
  std::size_t injections = 0;
  for (const ModeSummary& each : campaign::summarize(view.plan, view.results)) {
    if (!each.worst) {
      not_tried += view.plan.modes[each.mode].excluded ? 0 : 1;
      continue;
    }
    ++run;
    injections += each.injections;
    ++modes[static_cast<std::size_t>(each.worst->outcome)];
    wrong += each.wrong_first_out ? 1 : 0;
    if (each.worst->outcome != Outcome::hazardous) continue;
    const Mode& mode = view.plan.modes[each.mode];
    refused += mode.accepted_reason.empty() ? 1 : 0;
    if (!mode.accepted_reason.empty()) accepted.push_back({mode.id, mode.accepted_reason, {}});
  }
  const auto count = [&](Outcome outcome) { return modes[static_cast<std::size_t>(outcome)]; };
  std::string text = style.heading(view.machine.name) + '\n';
  const std::string verdict =
      refused != 0 ? style.error("FAILS")
      : accepted.empty()
          ? style.good("HOLDS")
          : style.warning("HOLDS with " + counted(accepted.size(), "accepted hazard"));
  text += fmt::format("  {}: {}, {}\n", verdict, counted(run, "failure mode"),
                      counted(injections, "injection"));
  if (not_tried > 0) {
    text +=
        style.warning(paragraph(fmt::format("{} not tried: what needs all of them is not computed",
                                            counted(not_tried, "other failure mode")),
                                2, 2));
  }
  const auto functions = campaign::safety_figures(view.machine, view.plan, view.results);
  const auto not_met = std::count_if(functions.begin(), functions.end(), [](const auto& each) {
    return !campaign::misses(each).empty();
  });
  if (not_met > 0) {
    text += style.error(
        fmt::format("  {} of {} NOT MET\n", not_met, counted(functions.size(), "safety function")));
  }
  text += unsigned_text(view.machine, style);
  text += fmt::format(
      "  {} hazardous ({} accepted), {} unnoticed, {} noticed, {} outage, {} no effect\n",
      count(Outcome::hazardous), accepted.size(), count(Outcome::unnoticed),
      count(Outcome::noticed), count(Outcome::outage), count(Outcome::no_effect));
  if (wrong > 0) {
    text += paragraph(
        fmt::format("{} of {} trip with a misleading first-out", wrong, counted(run, "mode")), 2,
        2);
  }
  if (!accepted.empty()) {
    text += '\n';
    for (const std::string& each :
         wrapped(fmt::format("{} ending hazardous, accepted by {}",
                             counted(accepted.size(), "single failure"), signer(view.machine)),
                 terminal_columns)) {
      text += style.heading(each) + '\n';
    }
    text += remarks_text(accepted);
  }
  text += "\n" + modes_table(view, style);
  if (view.plan.injections.size() > view.plan.singles) text += "\n" + pairs_table(view, style);
  text +=
      "\n" + paragraph(
                 "Each row is the worst of its injections. unnoticed: there is no message, and the "
                 "oven goes on; outage: the oven does not do its job, and that is all. "
                 "To replay row #N: ovenproof campaign MACHINE --save N FILE, then "
                 "ovenproof run FILE.");
  const std::string safety = safety_report(functions, style);
  if (!safety.empty()) {
    text += "\n";
    if (sign_off_fault(view.machine)) {
      text += style.error("NOT SIGNED OFF for this machine: do not use the following figures.") +
              "\n\n";
    }
    text += safety;
  }
  text += "\n" + paragraph("Caution: " + std::string(caution));
  return text;
}

}  // namespace ovenproof::app
