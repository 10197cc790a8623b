#include "sim/scenario/checkpoint.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::scenario {
namespace {

using Kind = Start::Kind;

/// Time of reaching in to load: after the airing, the oven is full of air.
constexpr std::uint32_t loading_s = 60;

rig::Oven oven_of(const OvenContext& context, bool monitor_warm) {
  rig::Oven oven = context.oven;
  oven.initial.oxygen_cell_warm = monitor_warm;
  return oven;
}

/// One nominal cycle, during which copies are taken.
class NominalCycle {
 public:
  NominalCycle(const OvenContext& context, const std::vector<Start>& starts,
               const std::function<void(std::size_t, Checkpoint)>& reached)
      : now_(context, true), starts_(starts), reached_(reached) {
    for (std::size_t i = 0; i < starts.size(); ++i) {
      if (starts[i].kind != Kind::cold && starts[i].kind != Kind::warm_monitor) {
        waiting_.push_back(i);
      }
    }
  }

  void run() {
    take();
    while (!waiting_.empty() && !attendant_.done()) {
      if (phase() == logic::Phase::unloading) wait_in_unloading();
      attendant_.act(now_.rig);
      if (attendant_.ready_to_start()) take();
      now_.rig.step();
      now_.observe();
      now_.timeline.observe(now_.rig, attendant_);
      take();
    }
    for (const std::size_t i : waiting_) {
      reached_(i, fmt::format("the oven never came to \"{}\": {}", to_text(starts_[i]),
                              attendant_.gave_up().empty() ? "the cycle went on without it"
                                                           : attendant_.gave_up()));
    }
  }

 private:
  [[nodiscard]] logic::Phase phase() const { return now_.rig.controller().commands().phase; }

  /// Starts some time into unloading lie beside the way, since the attendant opens the door at
  /// once: they are reached by a copy that nobody touches.
  void wait_in_unloading() {
    std::vector<std::size_t> patient;
    std::erase_if(waiting_, [&](std::size_t i) {
      const bool waits =
          starts_[i].kind == Kind::in_phase && starts_[i].phase == logic::Phase::unloading;
      if (waits) patient.push_back(i);
      return waits;
    });
    Observed aside = now_;
    for (mock::VirtualMs waited_ms = 0; !patient.empty(); waited_ms += aside.rig.period_ms()) {
      std::erase_if(patient, [&](std::size_t i) {
        if (waited_ms < starts_[i].into_ms) return false;
        reached_(i, std::make_shared<const Observed>(hands_off(aside)));
        return true;
      });
      aside.rig.step();
      aside.observe();
      aside.timeline.observe(aside.rig);
    }
  }

  [[nodiscard]] bool is_there(const Start& start) const {
    switch (start.kind) {
      case Kind::cold:
      case Kind::warm_monitor:
        return true;
      case Kind::standby:
        return attendant_.ready_to_start();
      case Kind::in_phase:
        return phase() == start.phase && now_.rig.now_ms() - phase_since_ms_ >= start.into_ms;
      case Kind::armed:
        return attendant_.loading() && attendant_.cycles_completed() > 0 &&
               now_.rig.truth().door_opening >= 1.0;
    }
    return false;
  }

  /// Hands off: whoever copies the oven does what comes next.
  static Observed hands_off(const Observed& oven) {
    Observed there = oven;
    const bool door_open = there.rig.hands.door_open;
    there.rig.hands = rig::Hands{};
    there.rig.hands.door_open = door_open;
    return there;
  }

  void take() {
    if (phase() != last_phase_) {
      last_phase_ = phase();
      phase_since_ms_ = now_.rig.now_ms();
    }
    std::erase_if(waiting_, [&](std::size_t i) {
      if (!is_there(starts_[i])) return false;
      reached_(i, std::make_shared<const Observed>(hands_off(now_)));
      return true;
    });
  }

  Observed now_;
  cycle::Attendant attendant_{cycle::Plan{1, loading_s, std::nullopt, 0, 0}};
  const std::vector<Start>& starts_;
  const std::function<void(std::size_t, Checkpoint)>& reached_;
  std::vector<std::size_t> waiting_;
  logic::Phase last_phase_ = logic::Phase::tripped;
  mock::VirtualMs phase_since_ms_ = 0;
};

}  // namespace

Observed::Observed(const OvenContext& context, bool monitor_warm)
    : rig(oven_of(context, monitor_warm)), hazards(context.hazards) {}

bool Observed::observe() {
  coverage.observe(rig);
  const std::vector<std::size_t> fresh = hazards.observe(rig);
  for (const std::size_t hazard : fresh) {
    timeline.add(rig.now_ms(), cycle::EventKind::hazard, hazards::default_hazards()[hazard].title);
  }
  return !fresh.empty();
}

void reach(const OvenContext& context, const std::vector<Start>& starts,
           const std::function<void(std::size_t, Checkpoint)>& reached) {
  for (std::size_t i = 0; i < starts.size(); ++i) {
    if (starts[i].kind == Kind::cold || starts[i].kind == Kind::warm_monitor) {
      reached(i, std::make_shared<const Observed>(context, starts[i].kind == Kind::warm_monitor));
    }
  }
  NominalCycle(context, starts, reached).run();
}

std::string to_text(const Start& start) {
  switch (start.kind) {
    case Kind::cold:
      return "cold";
    case Kind::warm_monitor:
      return "warm_monitor";
    case Kind::standby:
      return "standby";
    case Kind::armed:
      return "armed";
    case Kind::in_phase:
      break;
  }
  std::string text = fmt::format("in {}", logic::name_of(start.phase));
  if (start.into_ms > 0) text += fmt::format(" for {} ms", start.into_ms);
  return text;
}

}  // namespace ovenproof::scenario
