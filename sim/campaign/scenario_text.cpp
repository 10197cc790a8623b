#include "sim/campaign/scenario_text.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/hazards/hazards.hpp"

namespace ovenproof::campaign {
namespace {

std::string seconds(mock::VirtualMs ms) { return fmt::format("{}.{:03} s", ms / 1000, ms % 1000); }

/// Writes the steps of a branch as it goes.
class StepWriter {
 public:
  void look(const Sight& sight) {
    bool first = true;
    const auto step = [&](const std::string& action) {
      steps_ += first ? fmt::format("  - at: {}\n    {}\n", seconds(sight.rig.now_ms()), action)
                      : fmt::format("  - {}\n", action);
      first = false;
    };
    for (const Failure& failure : sight.begun) {
      for (const scenario::Action& action : failure.realisation->actions) step(phrase_of(action));
    }
    const rig::Hands& was = sight.hands_before;
    const rig::Hands& is = sight.rig.hands;
    const auto button = [&](bool before, bool now, const char* name) {
      if (before != now) step(fmt::format("{}: {}", now ? "hold" : "release", name));
    };
    button(was.start, is.start, "start");
    button(was.stop, is.stop, "stop");
    button(was.reset, is.reset, "reset");
    button(was.limiter_reset, is.limiter_reset, "limiter_reset");
    if (was.estop != is.estop) step(is.estop ? "estop: pressed" : "estop: released");
    if (was.reaching_in != is.reaching_in) step(is.reaching_in ? "reach: in" : "reach: out");
    if (sight.switched_power) step(sight.rig.controller_runs() ? "power: on" : "power: off");
    if (sight.exchanged_load) step("load: exchange");
    if (was.door_open != is.door_open) step(is.door_open ? "door: open" : "door: closed");
    if (!first) last_ms_ = sight.rig.now_ms();
  }

  [[nodiscard]] const std::string& steps() const { return steps_; }
  [[nodiscard]] mock::VirtualMs last_ms() const { return last_ms_; }

 private:
  std::string steps_;
  mock::VirtualMs last_ms_ = 0;
};

std::string expectations(const Result& result, mock::VirtualMs judged_from_ms) {
  if (result.detection && result.detection->trip) {
    return fmt::format("  - trip: {} within {}\n", logic::row_of(result.detection->first_out).key,
                       seconds(judged_from_ms + result.decided_after_ms));
  }
  if (result.detection) return "  - property: eventually (phase in {repurging, flushing})\n";
  return "  - name: nobody is told\n"
         "    property: never (first_out != none and first_out != power_up)\n";
}

/// Text between double quotes in YAML.
std::string quoted(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c == '\n' ? ' ' : c;
  }
  return out + '"';
}

/// What the machine file accepts of this mode is waived, with its reason; so the case passes for as
/// long as nothing worse occurs.
std::string waivers(const Result& result, const Part& part) {
  if (part.mode.accepted_reason.empty() || result.hazards.empty()) return "";
  std::string text = "waive:\n";
  for (const HazardHit& hit : result.hazards) {
    text +=
        fmt::format("  - hazard: {}\n    reason: {}\n", hazards::default_hazards()[hit.hazard].id,
                    quoted("accepted in the machine file: " + part.mode.accepted_reason));
  }
  return text;
}

std::string told(const Part& part) {
  return fmt::format("{} ({}), from {}", part.mode.id, part.mode.what, part.instant.id);
}

}  // namespace

std::string scenario_of(const Campaign& campaign, std::uint64_t number,
                        const std::string& machine_path) {
  const Plan& plan = campaign.plan();
  const Injection& injection = plan.injections.at(number);
  std::vector<Failure> failures = campaign.failures(injection);
  const Part first = first_of(plan, injection);
  std::string shows = told(first);
  if (injection.second) shows += "; then " + told(second_of(plan, injection));
  const std::uint32_t period_ms = campaign.nominal().oven().period_ms;
  if (failures.empty()) {
    // Nothing meets it: it is played to the end of its cycle and through the next start.
    failures.push_back({&first.mode, &first.realisation, first.instant.scan});
  }
  StepWriter writer;
  const Result result = run_branch(
      campaign.nominal(), Course(campaign.nominal(), *campaign.nominal().at(0)), failures,
      [&](const Sight& sight) { writer.look(sight); }, campaign.not_judged(failures.back()));
  const mock::VirtualMs from_ms = failures.back().scan * period_ms;
  const mock::VirtualMs end_ms = from_ms + result.decided_after_ms;
  std::string text =
      fmt::format("# Injection {} of a campaign: {}.\n", number, name(result.outcome));
  for (const HazardHit& hit : result.hazards) {
    const hazards::Hazard& hazard = hazards::default_hazards()[hit.hazard];
    text += fmt::format("# Hazard after {}: {}.\n", seconds(from_ms + hit.first_ms), hazard.title);
  }
  text += fmt::format("shows: {}\nmachine: {}\nstart: cold\n{}steps:\n{}expect:\n{}", quoted(shows),
                      quoted(machine_path), waivers(result, first), writer.steps(),
                      expectations(result, from_ms));
  text +=
      fmt::format("until: {}\n", seconds(std::max(end_ms, writer.last_ms()) - writer.last_ms()));
  return text;
}

}  // namespace ovenproof::campaign
