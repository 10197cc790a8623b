#pragma once
#include <vector>

#include "stages.hpp"

/// What each cause must do, written down by hand from the hazards and not from the matrix: the
/// cross-check that the matrix is held against.
namespace ovenproof::logic::test {

struct Forced {
  Fact fact;
  bool value;
};

/// A cause that facts alone bring about.
struct TripExpectation {
  Cause cause;
  std::vector<Forced> by;
  PhaseSet phases;  ///< where it must trip; tripped itself aside
  Timer delay = Timer::count;
  OutputSet withheld;         ///< until reset
  OutputSet meanwhile = {};   ///< goes off before the delay is over, by what the cause brings along
  bool refuses_reset = true;  ///< while it lasts
  bool needs_monitor = false;
  bool needs_jacket = false;
  bool leaves_phase = false;  ///< the sequence answers before the delay is over
};

inline constexpr PhaseSet powered{Phase::standby,  Phase::purging,   Phase::ramp,
                                  Phase::soak,     Phase::repurging, Phase::cooling,
                                  Phase::flushing, Phase::unloading};
inline constexpr PhaseSet door_shut{Phase::purging,   Phase::ramp,    Phase::soak,
                                    Phase::repurging, Phase::cooling, Phase::flushing};
inline constexpr PhaseSet hot{Phase::ramp, Phase::soak};
inline constexpr PhaseSet before_gate{Phase::purging, Phase::repurging};

inline std::vector<TripExpectation> trip_expectations() {
  using enum Output;
  using P = Phase;
  const OutputSet all = OutputSet::all();
  const OutputSet gas_off = heat | OutputSet(process_valve);
  return {
      {Cause::settings_invalid, {{Fact::settings_valid, false}}, powered, Timer::count, all},
      {Cause::clock_jump, {{Fact::clock_jump, true}}, powered, Timer::count, heat},
      {Cause::scan_overrun, {{Fact::scan_overrun, true}}, powered, Timer::count, heat},
      {Cause::emergency_stop, {{Fact::estop_healthy, false}}, powered, Timer::count, all},
      {Cause::limiter_tripped, {{Fact::limiter_healthy, false}}, powered, Timer::count, heat},
      {.cause = Cause::door_opened_in_cycle,
       .by = {{Fact::door_closed, false}},
       .phases = door_shut,
       .withheld = all,
       .refuses_reset = false},
      {Cause::door_contacts_disagree,
       {{Fact::door_contacts_disagree, true}},
       powered,
       Timer::count,
       all},
      {Cause::over_temperature, {{Fact::over_temperature, true}}, powered, Timer::count, heat},
      {.cause = Cause::temperature_invalid,
       .by = {{Fact::temperature_valid, false}},
       .phases = door_shut,
       .withheld = heat,
       .refuses_reset = false},
      {.cause = Cause::thermocouples_disagree,
       .by = {{Fact::thermocouples_disagree, true}},
       .phases = door_shut,
       .withheld = heat,
       .refuses_reset = false},
      {.cause = Cause::temperature_rate_implausible,
       .by = {{Fact::temperature_rate_implausible, true}},
       .phases = door_shut,
       .withheld = heat,
       .refuses_reset = false},
      {.cause = Cause::no_temperature_rise,
       .by = {{Fact::no_temperature_rise, true}},
       .phases = hot,
       .withheld = heat,
       .refuses_reset = false},
      {Cause::rise_without_demand,
       {{Fact::rise_without_demand, true}},
       powered,
       Timer::count,
       heat},
      {.cause = Cause::gas_supply_lost,
       .by = {{Fact::gas_supply_ok, false}},
       .phases = door_shut,
       .delay = Timer::supply_lost,
       .withheld = heat,
       .refuses_reset = false,
       .leaves_phase = true},
      {Cause::purge_flow_missing,
       {{Fact::purge_flow, false}},
       PhaseSet(P::purging, P::repurging, P::flushing),
       Timer::purge_flow_missing,
       heat | OutputSet(purge_valve),
       {},
       false},
      {Cause::process_flow_missing,
       {{Fact::process_flow, false}},
       PhaseSet(P::ramp, P::soak, P::cooling),
       Timer::process_flow_missing,
       gas_off,
       heat,
       false},
      {Cause::purge_flow_unexpected,
       {{Fact::purge_flow, true}},
       PhaseSet(P::standby, P::ramp, P::soak, P::cooling, P::unloading),
       Timer::purge_flow_unexpected,
       gas_off,
       gas_off},
      {Cause::process_flow_unexpected,
       {{Fact::process_flow, true}},
       PhaseSet(P::standby, P::purging, P::repurging, P::flushing, P::unloading),
       Timer::process_flow_unexpected,
       heat | OutputSet(purge_valve),
       OutputSet(purge_valve)},
      {.cause = Cause::oxygen_invalid,
       .by = {{Fact::oxygen_valid, false}, {Fact::oxygen_failed, true}},
       .phases = PhaseSet(P::purging, P::repurging, P::ramp, P::soak),
       .withheld = heat,
       .refuses_reset = false,
       .needs_monitor = true},
      {.cause = Cause::oxygen_air_check_failed,
       .by = {{Fact::oxygen_air_check_failed, true}},
       .phases = powered,
       .withheld = heat,
       .refuses_reset = false,
       .needs_monitor = true},
      {.cause = Cause::oxygen_not_falling,
       .by = {{Fact::oxygen_not_falling, true}},
       .phases = before_gate,
       .withheld = heat,
       .refuses_reset = false,
       .needs_monitor = true},
      {.cause = Cause::oxygen_falls_too_soon,
       .by = {{Fact::oxygen_falls_too_soon, true}},
       .phases = before_gate,
       .withheld = heat,
       .refuses_reset = false,
       .needs_monitor = true},
      {.cause = Cause::oxygen_frozen,
       .by = {{Fact::oxygen_frozen, true}},
       .phases = PhaseSet(P::purging, P::repurging, P::ramp, P::soak),
       .withheld = heat,
       .refuses_reset = false,
       .needs_monitor = true},
      {Cause::fan_not_proven,
       {{Fact::fan_running, false}},
       PhaseSet(P::purging, P::ramp, P::soak, P::repurging, P::cooling, P::flushing, P::unloading),
       Timer::fan_not_proven,
       heat | OutputSet(fan),
       heat,
       false},
      {Cause::fan_unexpected,
       {{Fact::fan_running, true}},
       PhaseSet(P::standby),
       Timer::fan_unexpected,
       heat},
      {Cause::k1_welded,
       {{Fact::k1_open, false}},
       PhaseSet(P::standby, P::purging, P::repurging, P::cooling, P::flushing, P::unloading),
       Timer::k1_not_open,
       heat},
      {Cause::k2_welded,
       {{Fact::k2_open, false}},
       PhaseSet(P::standby, P::purging, P::repurging, P::cooling, P::flushing, P::unloading),
       Timer::k2_not_open,
       heat},
      {Cause::k1_not_closed, {{Fact::k1_open, true}}, hot, Timer::k1_not_closed, heat, {}, false},
      {Cause::k2_not_closed, {{Fact::k2_open, true}}, hot, Timer::k2_not_closed, heat, {}, false},
      {.cause = Cause::damper_switches_contradict,
       .by = {{Fact::damper_open, true}, {Fact::damper_closed, true}},
       .phases = powered,
       .withheld = heat | OutputSet(damper, blower),
       .needs_jacket = true},
      {.cause = Cause::damper_not_open,
       .by = {{Fact::damper_open, false}},
       .phases = PhaseSet(P::cooling, P::flushing),
       .delay = Timer::damper_not_open,
       .withheld = OutputSet(damper, blower),
       .meanwhile = OutputSet(blower),
       .refuses_reset = false,
       .needs_jacket = true},
      {.cause = Cause::damper_not_closed,
       .by = {{Fact::damper_closed, false}},
       .phases = PhaseSet(P::standby, P::purging, P::ramp, P::soak, P::repurging, P::unloading),
       .delay = Timer::damper_not_closed,
       .withheld = heat,
       .needs_jacket = true},
      {.cause = Cause::blower_not_proven,
       .by = {{Fact::blower_running, false}},
       .phases = PhaseSet(P::cooling, P::flushing),
       .delay = Timer::blower_not_proven,
       .withheld = OutputSet(damper, blower),
       .refuses_reset = false,
       .needs_jacket = true},
      {.cause = Cause::blower_unexpected,
       .by = {{Fact::blower_running, true}},
       .phases = PhaseSet(P::standby, P::purging, P::ramp, P::soak, P::repurging, P::unloading),
       .delay = Timer::blower_unexpected,
       .withheld = heat,
       .needs_jacket = true},
  };
}

/// A condition that withholds while it lasts.
struct InhibitExpectation {
  Cause cause;
  Forced by;
  PhaseSet phases;
  OutputSet withheld;  ///< in the scan of the condition, of what was on
  bool resumes;        ///< goes on as before when the condition ends
  bool needs_monitor = false;
  bool needs_jacket = false;
};

inline std::vector<InhibitExpectation> inhibit_expectations() {
  using enum Output;
  using P = Phase;
  const PhaseSet process_phases{P::ramp, P::soak, P::cooling};
  const PhaseSet purge_phases{P::purging, P::repurging, P::flushing};
  return {
      {Cause::door_not_closed,
       {Fact::door_closed, false},
       PhaseSet(P::unloading),
       OutputSet::all(),
       false},
      {Cause::fan_not_running, {Fact::fan_running, false}, hot, heat, true},
      {Cause::gate_not_met, {Fact::gas_supply_ok, false}, hot, heat, false},
      {Cause::oxygen_above_hold, {Fact::oxygen_above_hold, true}, hot, heat, false, true},
      {Cause::process_flow_not_proven, {Fact::process_flow, false}, hot, heat, true},
      {Cause::purge_path_flowing,
       {Fact::purge_flow, true},
       process_phases,
       OutputSet(process_valve),
       true},
      {Cause::process_path_flowing,
       {Fact::process_flow, true},
       purge_phases,
       OutputSet(purge_valve),
       true},
      {Cause::damper_off_open_stop,
       {Fact::damper_open, false},
       PhaseSet(P::cooling, P::flushing),
       OutputSet(blower),
       true,
       false,
       true},
      {Cause::oxygen_not_proven, {Fact::oxygen_has_read_air, false}, hot, heat, true, true},
  };
}

}  // namespace ovenproof::logic::test
