#include "sim/app/campaign_csv.hpp"

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::app {

namespace {

/// A cell of text: quoted where it must be.
std::string cell(std::string text) {
  if (!text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos) {
    text.insert(text.begin(), '\'');
  }
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + '"';
}

std::string actions_text(const campaign::Realisation& realisation) {
  std::string text;
  for (const scenario::Action& action : realisation.actions) {
    text += (text.empty() ? "" : "; ") + campaign::phrase_of(action);
  }
  return text;
}

std::string part_cells(const campaign::Part& part) {
  return fmt::format("{},{},{},{}", cell(part.mode.id), campaign::name(part.realisation.onset),
                     cell(actions_text(part.realisation)), cell(part.instant.id));
}

std::string hazard_cells(const campaign::Result& result) {
  std::string names;
  std::string lasted;
  std::string beyond;
  for (const campaign::HazardHit& hit : result.hazards) {
    const char* const gap = names.empty() ? "" : "; ";
    lasted += fmt::format("{}{}", gap, hit.lasted_ms);
    beyond += fmt::format("{}{:.6g}{}{}", gap, hit.beyond, hit.unit.empty() ? "" : " ", hit.unit);
    names += gap + hazards::default_hazards()[hit.hazard].id;
  }
  return fmt::format("{},{},{}", cell(names), cell(lasted), cell(beyond));
}

std::string detection_cells(const campaign::Result& result) {
  if (!result.detection) return ",,,";
  const campaign::Detection& d = *result.detection;
  return fmt::format("{},{},{},{}", d.trip ? 1 : 0, d.trip ? logic::row_of(d.first_out).key : "",
                     d.first_out_right ? 1 : 0, d.reaction_ms);
}

}  // namespace

void campaign_csv(const CampaignView& view, std::ostream& out) {
  out << "number,component,mode,onset,actions,instant,second_mode,second_onset,second_actions,"
         "second_instant,outcome,hazards,lasted_ms,beyond,trip,first_out,first_out_right,"
         "reaction_ms,decided,decided_after_ms,accepted_reason\r\n";
  for (const campaign::Result& result : view.results) {
    const campaign::Injection& injection = view.plan.injections[result.number];
    const campaign::Part first = campaign::first_of(view.plan, injection);
    out << fmt::format(
        "{},{},{},{},{},{},{},{},{},{}\r\n", result.number, cell(first.mode.component),
        part_cells(first),
        injection.second ? part_cells(campaign::second_of(view.plan, injection)) : ",,,",
        campaign::name(result.outcome), hazard_cells(result), detection_cells(result),
        campaign::name(result.decided), result.decided_after_ms, cell(first.mode.accepted_reason));
  }
}

}  // namespace ovenproof::app
