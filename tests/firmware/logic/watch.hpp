#pragma once
#include <string>

#include "bench.hpp"

namespace ovenproof::logic::test {

/// Watches a bench scan by scan, from its facts and outputs alone, with a memory of its own: what
/// must hold whatever happens. Knows neither the matrix nor the sequence's decisions.
class Watch {
 public:
  /// Judges the bench's latest scan. Empty: all holds. Call after every scan from power-up on.
  std::string look(const Bench& b) {
    const OutputSet on = b.outputs();
    const auto fact = [&b](Fact f) { return b.fact(f); };
    const auto has = [on](Output o) { return on.has(o); };
    const Options& options = b.logic.options();
    const Phase phase = b.phase();
    const bool resting = phase == Phase::standby || phase == Phase::tripped;
    const bool closed = fact(Fact::door_closed);
    const bool heated = !(on & heat).empty();
    const bool everything_off = !fact(Fact::estop_healthy) || !fact(Fact::settings_valid) ||
                                fact(Fact::door_contacts_disagree);
    const bool reset = last_phase_ == Phase::tripped && phase == Phase::standby;

    // The gate: real purge flow commanded up to now, the count complete, oxygen held.
    const bool oxygen_held =
        !options.oxygen_monitor || (fact(Fact::oxygen_valid) && fact(Fact::oxygen_at_gate) &&
                                    b.fact(fact_of(Timer::gate_hold)));
    if (was_.has(Output::purge_valve) && counted_ && fact(Fact::purge_volumes_reached) &&
        oxygen_held) {
      inert_ = true;
      blanket_ = true;
    }
    if (!closed || everything_off) inert_ = blanket_ = false;
    if (phase == Phase::tripped) inert_ = false;
    if ((last_phase_ == Phase::ramp || last_phase_ == Phase::soak) && was_heated_ &&
        !fact(Fact::gas_supply_ok)) {
      inert_ = false;
    }
    const Cause told = b.commands.first_out;
    const bool temperature_in_doubt =
        told == Cause::limiter_tripped || told == Cause::temperature_invalid ||
        told == Cause::thermocouples_disagree || told == Cause::temperature_rate_implausible ||
        told == Cause::no_temperature_rise || told == Cause::rise_without_demand;
    if ((resting || phase == Phase::unloading) && !temperature_in_doubt &&
        fact(Fact::cool_to_unload) && fact(Fact::gas_settled)) {
      blanket_ = false;
    }
    if (reset && closed && fact(Fact::temperature_valid) && !fact(Fact::cool_to_unload)) {
      blanket_ = true;
    }

    std::string wrong;
    const auto must = [&wrong](bool holds, const char* what) {
      if (!holds && wrong.empty()) wrong = what;
    };
    must(!has(Output::purge_valve) || !has(Output::process_valve), "both gas valves are on");
    must(!(has(Output::purge_valve) && was_.has(Output::process_valve)) &&
             !(has(Output::process_valve) && was_.has(Output::purge_valve)),
         "one gas valve follows the other without a break");
    must(closed || on == nothing, "something is on with the door not closed");
    must(!everything_off || on == nothing, "something is on that a general cause must take away");
    must(!heated || (closed && fact(Fact::fan_running) && fact(Fact::process_flow)),
         "heat without door, fan or process flow");
    must(!heated || inert_, "heat without a gate since the gas was last lost");
    must(!heated || !options.oxygen_monitor || !fact(Fact::oxygen_above_hold),
         "heat with oxygen above the hold limit");
    must(!heated || (!fact(Fact::clock_jump) && !fact(Fact::scan_overrun)), "heat without a clock");
    must(!heated || !options.oxygen_monitor || fact(Fact::oxygen_has_read_air),
         "heat by a monitor that has not read air");
    must(!heated || (fact(Fact::limiter_healthy) && !fact(Fact::over_temperature) &&
                     fact(Fact::temperature_valid)),
         "heat at a limit or without a temperature");
    must(!has(Output::blower) || fact(Fact::damper_open), "blowers against the damper");
    must(options.jacket_cooling || (on & OutputSet(Output::damper, Output::blower)).empty(),
         "jacket cooling on a machine without");
    must((b.commands.first_out == Cause::none) == (phase != Phase::tripped),
         "first-out and phase disagree");

    const OutputSet risen = on - was_;
    OutputSet may_rise = nothing;
    if (blanket_) {
      may_rise = OutputSet(Output::process_valve);
      if (phase == Phase::tripped) may_rise = may_rise | OutputSet(Output::purge_valve);
      if (reset) may_rise = may_rise | OutputSet(Output::fan);
    }
    must(!resting || may_rise.covers(risen), "something starts by itself");
    if (last_phase_ == Phase::standby && phase == Phase::purging) {
      const bool pressed = fact(Fact::start_pressed) && !start_was_pressed_;
      const bool door = options.start_by_door && was_armed_ && closed && !door_was_closed_;
      must(pressed || door, "a cycle starts without a press or an armed door");
      must(!fact(Fact::stop_pressed), "a cycle starts although stop is pressed");
    }
    must(!(last_phase_ == Phase::standby && phase != Phase::standby) || phase == Phase::purging ||
             phase == Phase::tripped,
         "standby leads elsewhere than to purging or a trip");
    must(!(last_phase_ == Phase::tripped && phase != Phase::tripped) ||
             (phase == Phase::standby && fact(Fact::reset_pressed) && !reset_was_pressed_),
         "a trip ends without a press of reset");

    was_ = on;
    last_phase_ = phase;
    was_heated_ = phase == Phase::ramp || phase == Phase::soak;
    counted_ = b.commands.count_purge;
    was_armed_ = b.commands.armed;
    start_was_pressed_ = fact(Fact::start_pressed);
    reset_was_pressed_ = fact(Fact::reset_pressed);
    door_was_closed_ = closed;
    return wrong;
  }

 private:
  OutputSet was_;
  Phase last_phase_ = Phase::tripped;
  bool was_heated_ = false;
  bool counted_ = false;
  bool inert_ = false;    ///< a gate was met and nothing has lost it since
  bool blanket_ = false;  ///< a hot load may be given process gas
  bool was_armed_ = false;
  bool start_was_pressed_ = true;
  bool reset_was_pressed_ = true;
  bool door_was_closed_ = true;
};

}  // namespace ovenproof::logic::test
