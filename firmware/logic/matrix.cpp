#include "firmware/logic/matrix.hpp"

#include "firmware/logic/enumerator_name.hpp"

namespace ovenproof::logic {
namespace {

using enum Output;

constexpr OutputSet heat{k1, k2, heater_drive};
constexpr OutputSet everything = OutputSet::all();
constexpr Timer at_once = Timer::count;

constexpr PhaseSet not_tripped{Phase::standby,   Phase::purging, Phase::ramp,     Phase::soak,
                               Phase::repurging, Phase::cooling, Phase::flushing, Phase::unloading};
constexpr PhaseSet seeking_gate{Phase::purging, Phase::repurging};
constexpr PhaseSet cooling_down{Phase::cooling, Phase::flushing};
constexpr PhaseSet oxygen_matters{Phase::purging, Phase::repurging, Phase::ramp, Phase::soak};

using S = Situation;

bool never(const Facts& /*facts*/, const S& /*situation*/) { return false; }

}  // namespace

// clang-format off
constexpr std::array<Row, cause_count> matrix{{
  // The first two never come by a condition: the logic is born with one of them latched.
  {Cause::power_up, "power_up", "power returned: reset before anything moves",
   Kind::trip, Needs::nothing, any_phase,
   {.otherwise = never}, at_once, everything},
  {Cause::watchdog_restart, "watchdog_restart", "the watchdog restarted the controller",
   Kind::trip, Needs::nothing, any_phase,
   {.otherwise = never}, at_once, everything},

  {Cause::settings_invalid, "settings_invalid", "settings fail their checksum or ranges",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::settings_valid, .is = false}, at_once, everything},
  {Cause::clock_jump, "clock_jump", "the clock jumped, or runs wrong by the converter",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::clock_jump}, at_once, heat},
  {Cause::scan_overrun, "scan_overrun", "a scan overran its period",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::scan_overrun}, at_once, heat},

  {Cause::emergency_stop, "emergency_stop", "emergency stop",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::estop_healthy, .is = false}, at_once, everything},
  {Cause::limiter_tripped, "limiter_tripped", "over-temperature limiter tripped",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::limiter_healthy, .is = false}, at_once, heat},

  {Cause::door_opened_in_cycle, "door_opened_in_cycle", "door opened during the cycle",
   Kind::trip, Needs::nothing, closed_cycle,
   {.fact = Fact::door_closed, .is = false}, at_once, everything},
  {Cause::door_contacts_disagree, "door_contacts_disagree", "door contacts disagree",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::door_contacts_disagree}, at_once, everything},

  {Cause::over_temperature, "over_temperature", "above the control temperature limit",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::over_temperature}, at_once, heat},
  {Cause::temperature_invalid, "temperature_invalid", "no valid chamber temperature",
   Kind::trip, Needs::nothing, closed_cycle,
   {.fact = Fact::temperature_valid, .is = false}, at_once, heat},
  {Cause::thermocouples_disagree, "thermocouples_disagree", "thermocouples disagree",
   Kind::trip, Needs::nothing, closed_cycle,
   {.fact = Fact::thermocouples_disagree}, at_once, heat},
  {Cause::temperature_rate_implausible, "temperature_rate_implausible", "temperature changes faster than an oven can",
   Kind::trip, Needs::nothing, closed_cycle,
   {.fact = Fact::temperature_rate_implausible}, at_once, heat},
  {Cause::no_temperature_rise, "no_temperature_rise", "heated without getting hotter: thermocouple out, or no heater",
   Kind::trip, Needs::nothing, heating,
   {.fact = Fact::no_temperature_rise}, at_once, heat},
  {Cause::rise_without_demand, "rise_without_demand", "gets hotter with the heaters off",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::rise_without_demand}, at_once, heat},

  {Cause::gas_supply_lost, "gas_supply_lost", "gas supply pressure lost",
   Kind::trip, Needs::nothing, closed_cycle,
   {.fact = Fact::gas_supply_ok, .is = false}, Timer::supply_lost, heat},
  {Cause::purge_flow_missing, "purge_flow_missing", "purge valve open, no purge flow",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::purge_flow, .is = false, .while_on = OutputSet(purge_valve)},
   Timer::purge_flow_missing, heat | OutputSet(purge_valve)},
  {Cause::process_flow_missing, "process_flow_missing", "process valve open, no process flow",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::process_flow, .is = false, .while_on = OutputSet(process_valve)},
   Timer::process_flow_missing, heat | OutputSet(process_valve)},
  {Cause::purge_flow_unexpected, "purge_flow_unexpected", "purge flow, valve not commanded",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::purge_flow, .while_off = OutputSet(purge_valve)},
   Timer::purge_flow_unexpected, heat | OutputSet(process_valve)},
  {Cause::process_flow_unexpected, "process_flow_unexpected", "process flow, valve not commanded",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::process_flow, .while_off = OutputSet(process_valve)},
   Timer::process_flow_unexpected, heat | OutputSet(purge_valve)},

  {Cause::oxygen_invalid, "oxygen_invalid", "no valid oxygen reading",
   Kind::trip, Needs::oxygen_monitor, oxygen_matters,
   // Before heat the monitor may still warm up; in heat it must read.
   {.otherwise = [](const Facts& f, const S& s) {
     return heating.has(s.phase) ? !f(Fact::oxygen_valid) : f(Fact::oxygen_failed);
   }},
   at_once, heat},
  {Cause::oxygen_air_check_failed, "oxygen_air_check_failed", "oxygen monitor did not read air with the door open",
   // Not looked at when tripped: the instrument keeps it until a reset is accepted.
   Kind::trip, Needs::oxygen_monitor, not_tripped,
   {.fact = Fact::oxygen_air_check_failed}, at_once, heat},
  {Cause::oxygen_not_falling, "oxygen_not_falling", "oxygen does not fall although purged",
   Kind::trip, Needs::oxygen_monitor, seeking_gate,
   {.fact = Fact::oxygen_not_falling}, at_once, heat},
  {Cause::oxygen_falls_too_soon, "oxygen_falls_too_soon", "oxygen lower than the purge so far can have made it",
   Kind::trip, Needs::oxygen_monitor, seeking_gate,
   {.fact = Fact::oxygen_falls_too_soon}, at_once, heat},
  {Cause::oxygen_frozen, "oxygen_frozen", "oxygen reading stands still although it must change",
   Kind::trip, Needs::oxygen_monitor, oxygen_matters,
   {.fact = Fact::oxygen_frozen}, at_once, heat},
  {Cause::gate_not_met_in_time, "gate_not_met_in_time", "oxygen gate or purge volume not reached in time",
   Kind::trip, Needs::nothing, seeking_gate,
   {.otherwise = [](const Facts&, const S&) { return true; }}, Timer::purge_timeout,
   heat | OutputSet(purge_valve)},
  {Cause::heating_not_done_in_time, "heating_not_done_in_time", "ramp and soak take too long: the oven does not hold its temperature",
   Kind::trip, Needs::nothing, heating,
   {.otherwise = [](const Facts&, const S&) { return true; }}, Timer::heating_timeout, heat},
  {Cause::cooling_not_done_in_time, "cooling_not_done_in_time", "cooling or flushing takes too long: keep the door shut",
   Kind::trip, Needs::nothing, cooling_down,
   {.otherwise = [](const Facts&, const S&) { return true; }}, Timer::cooling_timeout, heat},
  {Cause::repurge_limit, "repurge_limit", "inert gas lost too often in one cycle",
   Kind::trip, Needs::nothing, heating,
   // Gate lost in the scan before, by oxygen or by supply: the heat is off already.
   {.otherwise = [](const Facts&, const S& s) {
     return !s.gate_met && s.repurges >= s.options.max_repurges;
   }},
   at_once, heat},

  {Cause::fan_not_proven, "fan_not_proven", "fan on, no airflow",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::fan_running, .is = false, .while_on = OutputSet(fan)},
   Timer::fan_not_proven, heat | OutputSet(fan)},
  {Cause::fan_unexpected, "fan_unexpected", "airflow proven, fan not commanded",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::fan_running, .while_off = OutputSet(fan)},
   Timer::fan_unexpected, heat},

  {Cause::k1_welded, "k1_welded", "regulating contactor does not open",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::k1_open, .is = false, .while_off = OutputSet(k1)},
   Timer::k1_not_open, heat},
  {Cause::k2_welded, "k2_welded", "safety contactor does not open",
   Kind::trip, Needs::nothing, any_phase,
   {.fact = Fact::k2_open, .is = false, .while_off = OutputSet(k2)},
   Timer::k2_not_open, heat},
  {Cause::k1_not_closed, "k1_not_closed", "regulating contactor does not close",
   Kind::trip, Needs::nothing, heating,
   {.fact = Fact::k1_open, .while_on = OutputSet(k1)},
   Timer::k1_not_closed, heat},
  {Cause::k2_not_closed, "k2_not_closed", "safety contactor does not close",
   Kind::trip, Needs::nothing, heating,
   {.fact = Fact::k2_open, .while_on = OutputSet(k2)},
   Timer::k2_not_closed, heat},

  {Cause::damper_switches_contradict, "damper_switches_contradict", "damper proven open and closed at once",
   Kind::trip, Needs::jacket_cooling, any_phase,
   {.otherwise = [](const Facts& f, const S&) {
     return f(Fact::damper_open) && f(Fact::damper_closed);
   }},
   at_once, heat | OutputSet(damper, blower)},
  {Cause::damper_not_open, "damper_not_open", "cooling damper does not open",
   Kind::trip, Needs::jacket_cooling, any_phase,
   {.fact = Fact::damper_open, .is = false, .while_on = OutputSet(damper)},
   Timer::damper_not_open, OutputSet(damper, blower)},
  {Cause::damper_not_closed, "damper_not_closed", "cooling damper does not close",
   Kind::trip, Needs::jacket_cooling, any_phase,
   {.fact = Fact::damper_closed, .is = false, .while_off = OutputSet(damper)},
   Timer::damper_not_closed, heat},
  {Cause::blower_not_proven, "blower_not_proven", "blowers on, no airflow",
   Kind::trip, Needs::jacket_cooling, any_phase,
   {.fact = Fact::blower_running, .is = false, .while_on = OutputSet(blower)},
   Timer::blower_not_proven, OutputSet(damper, blower)},
  {Cause::blower_unexpected, "blower_unexpected", "blower airflow, not commanded",
   Kind::trip, Needs::jacket_cooling, any_phase,
   {.fact = Fact::blower_running, .while_off = OutputSet(blower)},
   Timer::blower_unexpected, heat},

  {Cause::door_not_closed, "door_not_closed", "door not proven closed",
   Kind::inhibit, Needs::nothing, any_phase,
   {.fact = Fact::door_closed, .is = false}, at_once, everything},
  {Cause::fan_not_running, "fan_not_running", "circulation airflow not proven",
   Kind::inhibit, Needs::nothing, any_phase,
   {.fact = Fact::fan_running, .is = false}, at_once, heat},
  {Cause::gate_not_met, "gate_not_met", "not purged since the last loss of the inert gas",
   Kind::inhibit, Needs::nothing, any_phase,
   {.otherwise = [](const Facts&, const S& s) { return !s.gate_met; }}, at_once, heat},
  {Cause::oxygen_above_hold, "oxygen_above_hold", "oxygen above the hold limit",
   Kind::inhibit, Needs::oxygen_monitor, any_phase,
   {.fact = Fact::oxygen_above_hold}, at_once, heat},
  {Cause::process_flow_not_proven, "process_flow_not_proven", "process flow not proven",
   Kind::inhibit, Needs::nothing, any_phase,
   // Flow that no open valve explains is a switch that sticks, not gas.
   {.otherwise = [](const Facts& f, const S& s) {
     return !s.energised.has(process_valve) || !f(Fact::process_flow);
   }}, at_once, heat},
  {Cause::purge_path_flowing, "purge_path_flowing", "purge path still flowing",
   Kind::inhibit, Needs::nothing, any_phase,
   {.fact = Fact::purge_flow}, at_once,
   OutputSet(process_valve)},
  {Cause::process_path_flowing, "process_path_flowing", "process path still flowing",
   Kind::inhibit, Needs::nothing, any_phase,
   {.fact = Fact::process_flow}, at_once,
   OutputSet(purge_valve)},
  {Cause::damper_off_open_stop, "damper_off_open_stop", "cooling damper not proven open",
   Kind::inhibit, Needs::jacket_cooling, any_phase,
   {.fact = Fact::damper_open, .is = false}, at_once, OutputSet(blower)},
  {Cause::oxygen_not_proven, "oxygen_not_proven", "oxygen monitor has not read air since the last unloading: open the door",
   Kind::inhibit, Needs::oxygen_monitor, any_phase,
   {.fact = Fact::oxygen_has_read_air, .is = false}, at_once, heat},
}};
// clang-format on

namespace {

consteval bool ordered_by_cause() {
  for (std::size_t i = 0; i < cause_count; ++i) {
    if (static_cast<std::size_t>(matrix[i].cause) != i) return false;
    if ((matrix[i].kind == Kind::inhibit) != (i >= first_inhibit)) return false;
    if (matrix[i].withholds.empty()) return false;
    if (!same_name(matrix[i].key, enumerator_names<Cause, cause_count>[i])) return false;
  }
  return true;
}
static_assert(ordered_by_cause(),
              "row n belongs to Cause n and has its name, trips before inhibits, no empty row");

struct RowsByNeed {
  RowSet always = 0;
  RowSet with_oxygen_monitor = 0;
  RowSet with_jacket_cooling = 0;
};

struct LookedAt {
  std::array<RowsByNeed, phase_count> in_phase{};
  std::array<RowSet, 256> with_outputs{};  ///< by the bits of the outputs
};

/// Worked out before the first scan: most rows do not concern most phases, and what an output ought
/// to have brought does not concern one that is off.
constexpr auto looked_at = [] {
  LookedAt table;
  for (std::size_t i = 0; i < cause_count; ++i) {
    const RowSet row = RowSet{1} << i;
    for (std::size_t p = 0; p < phase_count; ++p) {
      if (!matrix[i].phases.has(static_cast<Phase>(p))) continue;
      RowsByNeed& rows = table.in_phase[p];
      (matrix[i].needs == Needs::oxygen_monitor   ? rows.with_oxygen_monitor
       : matrix[i].needs == Needs::jacket_cooling ? rows.with_jacket_cooling
                                                  : rows.always) |= row;
    }
    for (std::size_t bits = 0; bits < table.with_outputs.size(); ++bits) {
      const OutputSet on = OutputSet::of_bits(static_cast<std::uint8_t>(bits));
      if (matrix[i].condition.outputs_fit(on)) table.with_outputs[bits] |= row;
    }
  }
  return table;
}();

}  // namespace

RowSet rows_in(Phase phase, OutputSet energised, const Options& options) {
  const RowsByNeed& rows = looked_at.in_phase[static_cast<std::size_t>(phase)];
  const RowSet fitted = rows.always | (options.oxygen_monitor ? rows.with_oxygen_monitor : 0) |
                        (options.jacket_cooling ? rows.with_jacket_cooling : 0);
  return fitted & looked_at.with_outputs[energised.bits()];
}

}  // namespace ovenproof::logic
