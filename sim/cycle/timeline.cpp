#include "sim/cycle/timeline.hpp"

#include <array>
#include <string_view>

#include <fmt/format.h>

#include "firmware/logic/enumerator_name.hpp"
#include "firmware/logic/matrix.hpp"
#include "hal-mock/point.hpp"

namespace ovenproof::cycle {
namespace {

/// Outputs that only tell something to people change too often to be news.
constexpr std::uint32_t news = (1U << static_cast<unsigned>(hal::DigitalOut::run_lamp)) - 1U;

}  // namespace

const char* name_of(EventKind kind) {
  return logic::enumerator_names<EventKind, 6>[static_cast<std::size_t>(kind)];
}

void Timeline::add(std::uint64_t ms, EventKind kind, std::string text) {
  events_.push_back({ms, kind, std::move(text), {}});
}

void Timeline::observe_controller(std::uint64_t now_ms, const logic::Commands& now) {
  if (now.first_out != last_.first_out) {
    if (now.first_out == logic::Cause::none) {
      add(now_ms, EventKind::trip, "reset: no trip any more");
    } else {
      const logic::Row& row = logic::row_of(now.first_out);
      add(now_ms, EventKind::trip, fmt::format("TRIP {}", row.text));
      events_.back().cause = row.key;
    }
  }
  if (now.phase != last_.phase) add(now_ms, EventKind::phase, logic::name_of(now.phase));
  if (now.armed != last_.armed) {
    add(now_ms, EventKind::state,
        now.armed ? "armed: closing the door starts a cycle" : "no longer armed");
  }
  if (now.gas != last_.gas) {
    add(now_ms, EventKind::state, fmt::format("gas {}", logic::name_of(now.gas)));
  }
  if (now.fan != last_.fan) {
    add(now_ms, EventKind::state, fmt::format("fan {}", logic::name_of(now.fan)));
  }
  if (now.jacket != last_.jacket) {
    add(now_ms, EventKind::state, fmt::format("jacket cooling {}", logic::name_of(now.jacket)));
  }
  last_ = now;
}

void Timeline::observe_outputs(std::uint64_t now_ms, const mock::FieldOutputs& outputs) {
  const std::uint32_t coils = outputs.coils & news;
  for (std::size_t i = 0; i < hal::digital_out_count; ++i) {
    const std::uint32_t bit = 1U << i;
    if (((coils ^ coils_) & bit) == 0) continue;
    add(now_ms, EventKind::output,
        fmt::format("{} {}", mock::name(static_cast<hal::DigitalOut>(i)),
                    (coils & bit) != 0 ? "on" : "off"));
  }
  coils_ = coils;
}

void Timeline::observe(const rig::Rig& rig, const Attendant& attendant) {
  if (attendant.doing() != doing_) {
    doing_ = attendant.doing();
    add(rig.now_ms(), EventKind::person, doing_);
  }
  observe(rig);
}

void Timeline::observe(const rig::Rig& rig) {
  if (rig.controller_runs() != powered_) {
    powered_ = rig.controller_runs();
    add(rig.now_ms(), EventKind::state, powered_ ? "power on" : "power off");
  }
  if (powered_) observe_controller(rig.now_ms(), rig.controller().commands());
  observe_outputs(rig.now_ms(), rig.board().field_outputs());
}

}  // namespace ovenproof::cycle
