#include "firmware/logic/decisions.hpp"

#include "firmware/logic/trips.hpp"

namespace ovenproof::logic {

bool temperature_in_doubt(Cause first_out) {
  switch (first_out) {
    case Cause::limiter_tripped:
    case Cause::temperature_invalid:
    case Cause::thermocouples_disagree:
    case Cause::temperature_rate_implausible:
    case Cause::no_temperature_rise:
    case Cause::rise_without_demand:
      return true;
    default:
      return false;
  }
}

void watch_contacts(Scan& scan) {
  Memory& memory = scan.memory;
  if (scan.phase == Phase::tripped) {
    scan.edges.reset = memory.reset.rises(scan.facts(Fact::reset_pressed));
  } else if (scan.phase == Phase::standby) {
    scan.edges.start = memory.start.rises(scan.facts(Fact::start_pressed));
    if (scan.options.start_by_door && memory.armed) {
      scan.edges.door_closed = memory.door.rises(scan.facts(Fact::door_closed));
    }
  }
}

namespace {

/// Oxygen counts towards the gate: nothing that is left over from an earlier purge opens it.
bool oxygen_at_gate(const View& view) {
  return view.memory.energised.has(Output::purge_valve) && view.facts(Fact::oxygen_valid) &&
         view.facts(Fact::oxygen_at_gate);
}

/// Behind a closed door, and a reading that says so: what nobody knows brings no gas.
bool known_hot(const View& view) {
  return view.facts(Fact::door_closed) && view.facts(Fact::temperature_valid) &&
         !view.facts(Fact::cool_to_unload);
}

}  // namespace

void time_gate_hold(Scan& scan) {
  if (scan.options.oxygen_monitor && purge_flow_phases.has(scan.phase) &&
      oxygen_at_gate(scan.view())) {
    scan.commands.timers |= bit(Timer::gate_hold);
  }
}

void time_changeover(Scan& scan, GasPath path) {
  if (path == GasPath::shut) scan.commands.timers |= bit(Timer::changeover);
}

bool reset_accepted(const View& view) {
  return view.edges.reset && !trip_cause_present(view.facts, situation_of(view));
}

bool start_accepted(const View& view) {
  if (!view.edges.start && !view.edges.door_closed) return false;
  // Stop overrides start. What else is missing would trip the cycle at once: rather not start it.
  return !view.facts(Fact::stop_pressed) && view.facts(Fact::door_closed) &&
         view.facts(Fact::gas_supply_ok) && view.facts(Fact::temperature_valid) &&
         !view.facts(Fact::thermocouples_disagree) &&
         !view.facts(Fact::temperature_rate_implausible) &&
         !(view.options.oxygen_monitor &&
           (view.facts(Fact::oxygen_failed) || !view.facts(Fact::oxygen_has_read_air)));
}

bool gate_reached(const View& view) {
  if (!view.memory.energised.has(Output::purge_valve)) return false;
  if (view.options.oxygen_monitor &&
      !(oxygen_at_gate(view) && view.facts.elapsed(Timer::gate_hold))) {
    return false;
  }
  return view.facts(Fact::purge_volumes_reached);
}

bool oxygen_high(const View& view) {
  return view.options.oxygen_monitor && view.facts(Fact::oxygen_above_hold);
}

bool air_may_come_in(const View& view) {
  return oxygen_high(view) || (view.options.oxygen_monitor && view.facts(Fact::oxygen_failed));
}

bool inert_gas_lost(const View& view) { return !view.memory.gate_met; }

bool programme_ended(const View& view) {
  return view.phase == Phase::soak && view.facts(Fact::soak_complete) &&
         view.facts(Fact::last_segment);
}

bool cooled_down(const View& view) {
  return view.facts(Fact::cool_to_unload) && view.facts(Fact::gas_settled);
}

bool door_fully_open(const View& view) { return view.facts(Fact::door_open); }

bool stop_pressed(const View& view) { return view.facts(Fact::stop_pressed); }

void begin_cycle(Scan& scan) {
  Memory& memory = scan.memory;
  memory.armed = false;
  memory.ended_normally = false;
  memory.gate_met = false;  // the blanket stays: a hot load is no cooler for a new start
  memory.repurges = 0;
  scan.commands.programme_restart = true;
}

void meet_gate(Scan& scan) {
  scan.memory.gate_met = true;
  scan.memory.blanket = true;
}

void interrupt_heating(Scan& scan) {
  scan.memory.gate_met = false;
  if (scan.memory.repurges < 3) ++scan.memory.repurges;
}

void complete_programme(Scan& scan) {
  scan.memory.gate_met = false;
  scan.memory.ended_normally = true;
}

void break_off_heating(Scan& scan) { scan.memory.gate_met = false; }

void permit_unloading(Scan& scan) { scan.memory.blanket = false; }

void arm_next_start(Scan& scan) {
  scan.memory.armed = scan.options.start_by_door && scan.memory.ended_normally;
  return_to_standby(scan);
}

void return_to_standby(Scan& scan) {
  scan.memory.start.forget();
  scan.memory.door.forget();
}

void trip(Scan& scan) {
  scan.memory.armed = false;
  scan.memory.gate_met = false;
  scan.memory.reset.forget();
}

void clear_trip(Scan& scan) {
  scan.memory.first_out = Cause::none;
  scan.memory.latched = OutputSet();
  scan.commands.acknowledge = true;
  // Power that dips, or a general fault, has taken the gas: the load is no cooler for it.
  if (known_hot(scan.view())) scan.memory.blanket = true;
  return_to_standby(scan);
}

void settle_memory(Scan& scan) {
  Memory& memory = scan.memory;
  if (heating.has(scan.phase) && !scan.facts(Fact::gas_supply_ok)) memory.gate_met = false;

  // A thermocouple that has slipped out reads cold: what it says must not take the gas from a load
  // that may be hot, until somebody has looked and resets.
  const auto cold = [&scan, &memory] {
    return !temperature_in_doubt(memory.first_out) && cooled_down(scan.view());
  };
  constexpr OutputSet both_paths{Output::purge_valve, Output::process_valve};
  if (memory.blanket && !closed_cycle.has(scan.phase) &&
      (memory.latched.covers(both_paths) || !scan.facts(Fact::door_closed) || cold())) {
    memory.blanket = false;
  }
  if (memory.armed) {
    scan.commands.timers |= bit(Timer::arm_expiry);
    if (scan.facts.elapsed(Timer::arm_expiry) || stop_pressed(scan.view())) memory.armed = false;
  }
}

void remember_outputs(Scan& scan, OutputSet demanded, OutputSet withheld) {
  Memory& memory = scan.memory;
  memory.withheld = withheld;
  memory.energised = demanded - withheld;
  if (heating.has(scan.phase) && oxygen_high(scan.view())) memory.gate_met = false;
}

void next_segment(Scan& scan) { scan.commands.programme_advance = true; }

GasPath wanted_path(const View& view) {
  if (purge_flow_phases.has(view.phase)) return GasPath::purge;
  if (closed_cycle.has(view.phase)) return GasPath::process;
  if (!view.memory.blanket) return GasPath::shut;
  // The other path keeps a hot load inert where the process path is at fault.
  return view.memory.latched.has(Output::process_valve) ? GasPath::purge : GasPath::process;
}

bool fan_wanted(const View& view) { return closed_cycle.has(view.phase); }

bool fan_restored(const View& view) {
  return view.reset_now && view.memory.blanket && known_hot(view) &&
         !view.facts(Fact::elements_cool);
}

bool jacket_cooling_wanted(const View& view) {
  return view.options.jacket_cooling &&
         (view.phase == Phase::cooling || view.phase == Phase::flushing);
}

}  // namespace ovenproof::logic
