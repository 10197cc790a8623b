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

bool reset_accepted(const Scan& scan) {
  if (!scan.memory.reset.rises(scan.facts(Fact::reset_pressed))) return false;
  return !trip_cause_present(scan.facts, situation_of(scan));
}

bool start_accepted(const Scan& scan) {
  Memory& memory = scan.memory;
  const bool pressed = memory.start.rises(scan.facts(Fact::start_pressed));
  const bool door_closes = scan.options.start_by_door && memory.armed &&
                           memory.door.rises(scan.facts(Fact::door_closed));
  if (!pressed && !door_closes) return false;
  // Stop overrides start. What else is missing would trip the cycle at once: rather not start it.
  return !scan.facts(Fact::stop_pressed) && scan.facts(Fact::door_closed) &&
         scan.facts(Fact::gas_supply_ok) && scan.facts(Fact::temperature_valid) &&
         !scan.facts(Fact::thermocouples_disagree) &&
         !scan.facts(Fact::temperature_rate_implausible) &&
         !(scan.options.oxygen_monitor && scan.facts(Fact::oxygen_failed));
}

bool gate_reached(const Scan& scan) {
  // Nothing that is left over from an earlier purge opens the gate.
  if (!scan.memory.energised.has(Output::purge_valve)) return false;
  if (scan.options.oxygen_monitor) {
    if (!scan.facts(Fact::oxygen_valid) || !scan.facts(Fact::oxygen_at_gate)) return false;
    scan.commands.timers |= bit(Timer::gate_hold);
    if (!scan.facts.elapsed(Timer::gate_hold)) return false;
  }
  return scan.facts(Fact::purge_volumes_reached);
}

bool oxygen_high(const Scan& scan) {
  return scan.options.oxygen_monitor && scan.facts(Fact::oxygen_above_hold);
}

bool inert_gas_lost(const Scan& scan) { return !scan.memory.gate_met; }

bool programme_ended(const Scan& scan) {
  return scan.phase == Phase::soak && scan.facts(Fact::soak_complete) &&
         scan.facts(Fact::last_segment);
}

bool cooled_down(const Scan& scan) {
  return scan.facts(Fact::cool_to_unload) && scan.facts(Fact::gas_settled);
}

bool door_fully_open(const Scan& scan) { return scan.facts(Fact::door_open); }

bool stop_pressed(const Scan& scan) { return scan.facts(Fact::stop_pressed); }

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
  return_to_standby(scan);
}

void settle_memory(Scan& scan) {
  Memory& memory = scan.memory;
  if (heating.has(scan.phase) && !scan.facts(Fact::gas_supply_ok)) memory.gate_met = false;

  // A thermocouple that has slipped out reads cold: what it says must not take the gas from a load
  // that may be hot, until somebody has looked and resets.
  const auto cold = [&scan, &memory] {
    return !temperature_in_doubt(memory.first_out) && cooled_down(scan);
  };
  if (memory.blanket && !closed_cycle.has(scan.phase) &&
      (memory.latched.has(Output::process_valve) || !scan.facts(Fact::door_closed) || cold())) {
    memory.blanket = false;
  }
  if (memory.armed) {
    scan.commands.timers |= bit(Timer::arm_expiry);
    if (scan.facts.elapsed(Timer::arm_expiry) || stop_pressed(scan)) memory.armed = false;
  }
}

void remember_outputs(Scan& scan, OutputSet demanded, OutputSet withheld) {
  Memory& memory = scan.memory;
  memory.withheld = withheld;
  memory.energised = demanded - withheld;
  if (heating.has(scan.phase) && oxygen_high(scan)) memory.gate_met = false;
}

void next_segment(Scan& scan) { scan.commands.programme_advance = true; }

GasPath wanted_path(const Scan& scan) {
  if (purge_flow_phases.has(scan.phase)) return GasPath::purge;
  if (closed_cycle.has(scan.phase)) return GasPath::process;
  return scan.memory.blanket ? GasPath::process : GasPath::shut;
}

bool fan_wanted(const Scan& scan) { return closed_cycle.has(scan.phase); }

bool jacket_cooling_wanted(const Scan& scan) {
  return scan.options.jacket_cooling &&
         (scan.phase == Phase::cooling || scan.phase == Phase::flushing);
}

}  // namespace ovenproof::logic
