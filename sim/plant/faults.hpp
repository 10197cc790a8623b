#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

/// Component faults as values: which, and how severe. When each begins and ends is the caller's
/// business; the plant only ever sees what is broken now.
namespace ovenproof::plant {

enum class Fault : std::uint8_t {
  purge_valve_stuck_open,
  purge_valve_stuck_closed,
  purge_valve_slow,
  process_valve_stuck_open,
  process_valve_stuck_closed,
  process_valve_slow,
  door_contact_1_defeated,
  chain_door_bridged,
  chain_estop_bridged,
  chain_limiter_bridged,
  chain_open,
  estop_contact_2_bridged,
  outputs_without_supply,
  k0_welded,
  k1_welded,
  k1_not_pulling,
  k2_welded,
  k2_not_pulling,
  k1_pole_welded,
  k2_pole_welded,
  heater_switch_shorted,
  element_broken,
  fan_stopped,
  fan_slow,
  damper_stuck,
  damper_stuck_open,
  damper_stuck_closed,
  blower_failed,
  seal_leaking,
  non_return_stuck_open,
  non_return_stuck_closed,
  exhaust_blocked,
  relief_stuck_closed,
  relief_leaking,
  vacuum_relief_stuck_closed,
  vacuum_relief_leaking,
  supply_failing,
  supply_impure,
  regulator_failed_open,
  blanket_stuck_closed,
  blanket_stuck_open,
  blanket_set_high,
  blanket_set_low,
  blanket_sweep_blocked,
  door_gas_valve_stuck_open,
  door_gas_valve_stuck_closed,
  door_gas_valve_late,
  purge_pipe_off,
  process_pipe_off,
  thermocouple_a_slipped,
  thermocouple_b_slipped,
  limiter_thermocouple_slipped,
  limiter_failed,
  oxygen_cell_heater_failed,
  oxygen_cell_cracked,
  oxygen_sample_blocked,
  oxygen_combustibles,
  count
};

inline constexpr std::size_t fault_count = static_cast<std::size_t>(Fault::count);

/// Severities in force, 0 (healthy) .. 1 (fully failed). A fault whose `graded` is false acts whole
/// as soon as its severity is above 0.
struct Faults {
  std::array<double, fault_count> severity{};

  constexpr double operator[](Fault fault) const {
    return severity[static_cast<std::size_t>(fault)];
  }
  constexpr double& operator[](Fault fault) { return severity[static_cast<std::size_t>(fault)]; }
  constexpr bool has(Fault fault) const { return (*this)[fault] > 0.0; }

  friend constexpr bool operator==(const Faults&, const Faults&) = default;
};

/// Name by which files call a fault, what it does, and whether and how its severity counts.
struct FaultInfo {
  Fault fault;
  std::string_view name;
  bool graded;
  std::string_view meaning;
};

/// All faults, in the order of the enumeration.
inline constexpr std::array<FaultInfo, fault_count> fault_table{{
    {Fault::purge_valve_stuck_open, "purge_valve_stuck_open", true,
     "purge valve closes no further than the severity (0.1: passes a tenth)"},
    {Fault::purge_valve_stuck_closed, "purge_valve_stuck_closed", true,
     "purge valve opens no further than 1 - severity"},
    {Fault::purge_valve_slow, "purge_valve_slow", true,
     "purge valve takes 1 + 50 x severity times its stroke time"},
    {Fault::process_valve_stuck_open, "process_valve_stuck_open", true,
     "process valve closes no further than the severity"},
    {Fault::process_valve_stuck_closed, "process_valve_stuck_closed", true,
     "process valve opens no further than 1 - severity"},
    {Fault::process_valve_slow, "process_valve_slow", true,
     "process valve takes 1 + 50 x severity times its stroke time"},
    {Fault::door_contact_1_defeated, "door_contact_1_defeated", false,
     "contact 1 of the door stays made, for the controller and in the hard-wired chain"},
    {Fault::chain_door_bridged, "chain_door_bridged", false,
     "the hard-wired chain is bridged across the door's contact; its read-back is not"},
    {Fault::chain_estop_bridged, "chain_estop_bridged", false,
     "the hard-wired chain is bridged across the emergency stop; its read-back is not"},
    {Fault::chain_limiter_bridged, "chain_limiter_bridged", false,
     "the hard-wired chain is bridged across the limiter; its read-back is not"},
    {Fault::chain_open, "chain_open", false,
     "the hard-wired chain is open: both contactors drop out and do not close"},
    {Fault::estop_contact_2_bridged, "estop_contact_2_bridged", false,
     "the emergency stop's second contact, in the supply of the outputs, does not open"},
    {Fault::outputs_without_supply, "outputs_without_supply", false,
     "no supply at the outputs of the controller, which has its own"},
    {Fault::k0_welded, "k0_welded", false,
     "the control relay in the supply of the outputs, once closed, does not open"},
    {Fault::k1_welded, "k1_welded", false,
     "main contacts of the regulating contactor, once closed, do not open"},
    {Fault::k1_not_pulling, "k1_not_pulling", false, "the regulating contactor does not close"},
    {Fault::k2_welded, "k2_welded", false,
     "main contacts of the safety contactor, once closed, do not open"},
    {Fault::k2_not_pulling, "k2_not_pulling", false, "the safety contactor does not close"},
    {Fault::k1_pole_welded, "k1_pole_welded", false,
     "one of three main contacts of the regulating contactor, once closed, does not open: a third "
     "of the heater's power while the other contactor conducts; the mirror contact stays open"},
    {Fault::k2_pole_welded, "k2_pole_welded", false, "the same of the safety contactor"},
    {Fault::heater_switch_shorted, "heater_switch_shorted", true,
     "heater power is at least the severity while both contactors are closed"},
    {Fault::element_broken, "element_broken", true, "share of the heater power that is lost"},
    {Fault::fan_stopped, "fan_stopped", false, "circulation fan runs down and stays at rest"},
    {Fault::fan_slow, "fan_slow", true, "circulation fan reaches 1 - severity of its speed"},
    {Fault::damper_stuck, "damper_stuck", false, "damper stays where it is"},
    {Fault::damper_stuck_open, "damper_stuck_open", true,
     "damper closes no further than the severity"},
    {Fault::damper_stuck_closed, "damper_stuck_closed", true,
     "damper opens no further than 1 - severity"},
    {Fault::blower_failed, "blower_failed", true,
     "cooling blowers reach 1 - severity of their speed"},
    {Fault::seal_leaking, "seal_leaking", true,
     "share of the failed seal's ingress and conductance that is added"},
    {Fault::non_return_stuck_open, "non_return_stuck_open", true,
     "exhaust passes air back, and it diffuses back, in this share"},
    {Fault::non_return_stuck_closed, "non_return_stuck_closed", true,
     "share of the exhaust's conductance that is lost"},
    {Fault::exhaust_blocked, "exhaust_blocked", true,
     "share of the exhaust's conductance that is lost, either way"},
    {Fault::relief_stuck_closed, "relief_stuck_closed", true,
     "share of the relief valve's conductance that is lost"},
    {Fault::relief_leaking, "relief_leaking", true,
     "share of the relief valve that passes gas either way at any pressure; air diffuses back"},
    {Fault::vacuum_relief_stuck_closed, "vacuum_relief_stuck_closed", true,
     "share of the vacuum relief valve's conductance that is lost"},
    {Fault::vacuum_relief_leaking, "vacuum_relief_leaking", true,
     "share of the vacuum relief valve that passes gas either way at any pressure; air diffuses "
     "in"},
    {Fault::supply_failing, "supply_failing", true, "share of the supply pressure that is lost"},
    {Fault::supply_impure, "supply_impure", true, "share of air in the supplied gas"},
    {Fault::regulator_failed_open, "regulator_failed_open", true,
     "both paths pass 1 + 2 x severity times their regulated flow, as far as the pressure goes"},
    {Fault::blanket_stuck_closed, "blanket_stuck_closed", true,
     "share of the blanket regulator's flow that is lost"},
    {Fault::blanket_stuck_open, "blanket_stuck_open", true,
     "the blanket regulator passes at least this share of its largest flow, at any pressure"},
    {Fault::blanket_set_high, "blanket_set_high", true,
     "the blanket regulator's set pressure is 1 + 4 x severity times what it was"},
    {Fault::blanket_set_low, "blanket_set_low", true,
     "the blanket regulator's set pressure is 1 - severity times what it was"},
    {Fault::blanket_sweep_blocked, "blanket_sweep_blocked", true,
     "share of the blanket throttle's flow that is lost"},
    {Fault::door_gas_valve_stuck_open, "door_gas_valve_stuck_open", true,
     "the gas valve that the door works closes no further than the severity"},
    {Fault::door_gas_valve_stuck_closed, "door_gas_valve_stuck_closed", true,
     "the gas valve that the door works opens no further than 1 - severity"},
    {Fault::door_gas_valve_late, "door_gas_valve_late", true,
     "the gas valve that the door works is shut only at an opening larger by half the severity"},
    {Fault::purge_pipe_off, "purge_pipe_off", true,
     "share of the purge flow that leaves into the room behind its flow switch"},
    {Fault::process_pipe_off, "process_pipe_off", true,
     "share of the process flow that leaves into the room behind its flow switch"},
    {Fault::thermocouple_a_slipped, "thermocouple_a_slipped", true,
     "TE-1A feels the casing in this share instead of the gas"},
    {Fault::thermocouple_b_slipped, "thermocouple_b_slipped", true,
     "TE-1B feels the casing in this share instead of the gas"},
    {Fault::limiter_thermocouple_slipped, "limiter_thermocouple_slipped", true,
     "the limiter feels the casing in this share instead of the chamber"},
    {Fault::limiter_failed, "limiter_failed", false, "the limiter does not trip"},
    {Fault::oxygen_cell_heater_failed, "oxygen_cell_heater_failed", false,
     "the oxygen cell cools to room temperature"},
    {Fault::oxygen_cell_cracked, "oxygen_cell_cracked", true,
     "room air reaches the measuring side in this share: reads high"},
    {Fault::oxygen_sample_blocked, "oxygen_sample_blocked", true,
     "the gas at the cell is renewed more slowly by this share; at 1 it stays what it was"},
    {Fault::oxygen_combustibles, "oxygen_combustibles", true,
     "combustible gas takes away 1 % of oxygen x severity at the hot cell: reads low"},
}};

/// The table's line for a fault.
constexpr const FaultInfo& info(Fault fault) {
  return fault_table[static_cast<std::size_t>(fault)];
}

/// The fault a file calls `name`, or nothing.
constexpr std::optional<Fault> find_fault(std::string_view name) {
  for (const FaultInfo& entry : fault_table) {
    if (entry.name == name) return entry.fault;
  }
  return std::nullopt;
}

static_assert([] {
  for (std::size_t i = 0; i < fault_count; ++i) {
    if (static_cast<std::size_t>(fault_table[i].fault) != i) return false;
  }
  return true;
}());

}  // namespace ovenproof::plant
