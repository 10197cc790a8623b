#pragma once

#include <span>
#include <string_view>

#include "sim/properties/signal_table.hpp"

namespace ovenproof::properties {

/// Limits that the default hazards are judged against, named `limit.*` in properties. They belong
/// to the machine: take them from its file and its own risk assessment. The defaults suit the
/// invented demo ovens only.
struct HazardLimits {
  double heater_power_W = 10.0;  ///< above: the elements draw power. Estimate: instrument noise
  double door_gap = 0.02;        ///< share of full opening above which the door is open. Estimate
  double shutdown_s = 0.5;       ///< longest time to be without heat after a cause. Estimate:
                                 ///< scan, contactor drop-out and a margin
  double gas_shutdown_s = 2.0;   ///< the same for gas flow. Estimate: valve stroke and a margin
  double airflow = 0.2;          ///< share of full circulation the elements need. Estimate
  double airflow_loss_s = 3.0;   ///< longest time with heat and less than that. Estimate: the
                                 ///< coast-down of the fan and the delay of its proof
  double chamber_degC = 1050.0;  ///< highest gas or wall temperature. From the machine
  double element_degC = 1200.0;  ///< highest element temperature. From the machine
  double load_hot_degC = 250.0;  ///< load temperature above which air spoils or burns it
  double load_oxygen_ppm = 1000.0;   ///< highest oxygen around a hot load. From the process
  double idle_flow_L_per_min = 1.0;  ///< below: a closed valve. Estimate
  double valve_position = 0.1;       ///< share of stroke above which a valve is open. Estimate
  double pressure_Pa = 2000.0;       ///< highest gauge pressure of the chamber. From the machine
  /// Least oxygen for people, 19.5 % by volume: 29 CFR 1910.146 calls less an oxygen-deficient
  /// atmosphere (from memory).
  double room_oxygen_percent = 19.5;
  double blower_speed = 0.2;      ///< share of full speed above which a blower runs. Estimate
  double damper_opening = 0.1;    ///< share of stroke below which the damper is closed. Estimate
  double blower_overlap_s = 5.0;  ///< longest run against a closed damper. Estimate: run-down
};

/// A physical condition of the plant that must not come about, as a property over what is
/// physically so, never over what the controller believes.
struct Hazard {
  std::string_view id;           ///< stable, for waivers and reports
  std::string_view title;        ///< what is wrong, in a few words
  std::string_view consequence;  ///< what it can do
  std::string_view text;         ///< the property
};

/// The hazards that every run is judged on unless one is waived with a reason. A list to begin
/// with, and no substitute for the machine's own risk assessment.
///
/// They speak of these signals (units as in sim/rig/probes.cpp): plant.element, plant.gas,
/// plant.wall, plant.load, plant.oxygen, plant.room_oxygen, plant.pressure, plant.purge_flow,
/// plant.process_flow, plant.heater_power, plant.fan_airflow, plant.door_opening,
/// plant.purge_valve, plant.process_valve, plant.damper_opening, plant.blower_speed; and of two
/// booleans about the people at the oven: operator.starts, in the scan in which a start is given
/// (start button pressed, or the door closed while that was armed), and operator.ends, in each scan
/// in which heat may no longer be wanted (stop or emergency stop pressed, door open, mains off).
[[nodiscard]] std::span<const Hazard> default_hazards();

/// Adds the limits to `table` as constants. Throws std::invalid_argument as SignalTable does.
void add_hazard_limits(SignalTable& table, const HazardLimits& limits);

}  // namespace ovenproof::properties
