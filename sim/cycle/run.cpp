#include "sim/cycle/run.hpp"

#include <algorithm>

#include "sim/rig/field_wiring.hpp"

namespace ovenproof::cycle {
namespace {

constexpr std::uint64_t progress_every_ms = 60'000;

}  // namespace

bool RunResult::waived(const hazards::HazardVerdict& hazard) const {
  return !hazard.avoided && waiver && hazard.id == waiver->hazard && door_opened_ms &&
         hazard.first_ms && *hazard.first_ms >= *door_opened_ms;
}

std::size_t RunResult::hazards_found() const {
  return static_cast<std::size_t>(std::count_if(
      hazards.begin(), hazards.end(),
      [this](const hazards::HazardVerdict& each) { return !each.avoided && !waived(each); }));
}

bool RunResult::all_holds() const {
  return gave_up.empty() && hazards_found() == 0 && !started_by_itself.value_or(false) &&
         cycles_completed >= cycles_planned;
}

RunResult run(const rig::Oven& oven, const Plan& plan, const Observer& observer,
              const Progress& progress) {
  rig::Rig rig(oven);
  Attendant attendant(plan);
  Timeline timeline;
  CycleMeter meter;
  hazards::HazardWatch watch(oven, rig.period_ms());
  RunResult result;
  result.cycles_planned = plan.open_door_in ? 0 : plan.cycles;
  result.attendant = plan.habit;
  result.waiver = waiver_of(plan);
  logic::Cause before = logic::Cause::power_up;

  while (!attendant.done()) {
    attendant.act(rig);
    rig.step();
    timeline.observe(rig, attendant);
    meter.observe(rig);
    const logic::Cause first_out =
        rig.controller_runs() ? rig.controller().commands().first_out : before;
    if (first_out != before && first_out != logic::Cause::none && !result.first_trip) {
      result.first_trip = Trip{rig.now_ms(), first_out};
    }
    before = first_out;
    if (attendant.opened_abnormally() && !result.door_opened_ms) {
      result.door_opened_ms = rig.now_ms();
    }
    for (const std::size_t hazard : watch.observe(rig)) {
      const hazards::Hazard& found = hazards::default_hazards()[hazard];
      const bool waived =
          result.waiver && result.door_opened_ms && found.id == result.waiver->hazard;
      timeline.add(rig.now_ms(), EventKind::hazard, found.title + (waived ? " (waived)" : ""));
    }
    if (attendant.watching()) {
      result.started_by_itself = result.started_by_itself.value_or(false) ||
                                 rig::anything_energised(rig.board().field_outputs());
    }
    if (observer) observer(rig);
    if (progress && rig.now_ms() % progress_every_ms == 0) {
      progress(static_cast<double>(rig.now_ms()) / 1000.0,
               rig.controller_runs() ? rig.controller().commands().phase : logic::Phase::tripped);
    }
  }

  result.simulated_s = static_cast<double>(rig.now_ms()) / 1000.0;
  result.cycles_completed = attendant.cycles_completed();
  result.cycles = meter.cycles();
  result.hazards = watch.verdicts();
  result.events = timeline.events();
  result.gave_up = attendant.gave_up();
  if (plan.open_door_in && !result.started_by_itself && result.gave_up.empty()) {
    result.gave_up = "the phase in which to open the door was not reached, or was over too soon";
  }
  return result;
}

}  // namespace ovenproof::cycle
