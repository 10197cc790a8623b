#pragma once
#include "bench.hpp"

/// Benches brought into each phase and held there, every output of the phase energised.
namespace ovenproof::logic::test {

/// What a phase energises once everything it asks for is proven. In unloading the elements are
/// held hot, so that the fan runs on.
constexpr OutputSet settled_outputs(Phase phase, const Options& options) {
  using enum Output;
  switch (phase) {
    case Phase::purging:
    case Phase::repurging:
      return OutputSet(fan, purge_valve);
    case Phase::ramp:
    case Phase::soak:
      return heat | OutputSet(fan, process_valve);
    case Phase::cooling:
      return options.jacket_cooling ? OutputSet(fan, process_valve, damper, blower)
                                    : OutputSet(fan, process_valve);
    case Phase::flushing:
      return options.jacket_cooling ? OutputSet(fan, purge_valve, damper, blower)
                                    : OutputSet(fan, purge_valve);
    case Phase::unloading:
      return OutputSet(fan);
    default:
      return nothing;
  }
}

/// Flushing is the answer to a reading of the monitor: without one it does not exist.
constexpr bool reachable(Phase phase, const Options& options) {
  return phase != Phase::flushing || options.oxygen_monitor;
}

/// A bench in `phase`, held there: what would end the phase is forced not to come.
/// `reached` tells whether that worked, for a test to require.
struct Stage {
  Bench bench;
  bool reached = false;
};

inline Stage stage(Phase phase, Options options) {
  Stage s{Bench(options), true};
  Bench& b = s.bench;
  const auto go = [&s, &b](Phase to) {
    s.reached = s.reached && b.scan_to(to, settled_outputs(to, b.logic.options()));
  };
  b.scan(3);
  if (phase == Phase::tripped) return s;
  b.press(Fact::reset_pressed);
  b.scan(5);
  s.reached = b.phase() == Phase::standby && b.outputs() == nothing;
  if (phase == Phase::standby) return s;

  b.force(Fact::purge_volumes_reached, false);
  b.press(Fact::start_pressed);
  go(Phase::purging);
  b.scan();
  if (phase == Phase::purging) return s;

  b.release(Fact::purge_volumes_reached);
  b.force(Fact::ramp_complete, false);
  go(Phase::ramp);
  b.scan(2);
  if (phase == Phase::ramp) return s;

  b.release(Fact::ramp_complete);
  b.force(Fact::soak_complete, false);
  go(Phase::soak);
  b.scan(2);
  if (phase == Phase::soak) return s;

  if (phase == Phase::repurging) {
    b.force(Fact::purge_volumes_reached, false);
    b.force(Fact::gas_supply_ok, false);
    b.scan();
    b.release(Fact::gas_supply_ok);
    go(Phase::repurging);
    b.scan();
    return s;
  }

  b.force(Fact::soak_complete, true);
  b.force(Fact::last_segment, true);
  b.force(Fact::cool_to_unload, false);
  b.force(Fact::elements_cool, false);
  go(Phase::cooling);
  b.scan(2);
  b.release(Fact::soak_complete);
  if (phase == Phase::cooling) return s;

  if (phase == Phase::flushing) {
    b.force(Fact::purge_volumes_reached, false);
    b.force(Fact::oxygen_above_hold, true);
    b.force(Fact::oxygen_at_gate, false);
    b.scan();
    b.release(Fact::oxygen_above_hold);
    b.release(Fact::oxygen_at_gate);
    go(Phase::flushing);
    b.scan();
    return s;
  }

  b.release(Fact::cool_to_unload);
  go(Phase::unloading);
  b.scan(4);
  s.reached = s.reached && b.fact(Fact::damper_closed);
  return s;
}

}  // namespace ovenproof::logic::test
