#include "sim/cycle/run.hpp"

#include <algorithm>

#include "sim/rig/field_wiring.hpp"

namespace ovenproof::cycle {
namespace {

constexpr std::uint64_t progress_every_ms = 60'000;

}  // namespace

bool RunResult::all_holds() const {
  const bool safe = std::all_of(hazards.begin(), hazards.end(),
                                [](const hazards::HazardVerdict& each) { return each.avoided; });
  return gave_up.empty() && safe && !started_by_itself.value_or(false) &&
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

  while (!attendant.done()) {
    attendant.act(rig);
    rig.step();
    timeline.observe(rig, attendant);
    meter.observe(rig);
    for (const std::size_t hazard : watch.observe(rig)) {
      timeline.add(rig.now_ms(), EventKind::hazard, hazards::default_hazards()[hazard].title);
    }
    if (attendant.watching()) {
      result.started_by_itself = result.started_by_itself.value_or(false) ||
                                 rig::anything_energised(rig.board().field_outputs());
    }
    if (observer) observer(rig);
    if (progress && rig.now_ms() % progress_every_ms == 0) {
      progress(static_cast<double>(rig.now_ms()) / 1000.0, rig.controller().commands().phase);
    }
  }

  result.simulated_s = static_cast<double>(rig.now_ms()) / 1000.0;
  result.cycles_completed = attendant.cycles_completed();
  result.cycles = meter.cycles();
  result.hazards = watch.verdicts();
  result.events = timeline.events();
  result.gave_up = attendant.gave_up();
  if (plan.open_door_in && !result.started_by_itself && result.gave_up.empty()) {
    result.gave_up = "the phase in which to open the door was never reached";
  }
  return result;
}

}  // namespace ovenproof::cycle
