#pragma once
#include <optional>

#include "sim/plant/constants.hpp"

/// What an oven is made of, as the plant model needs it: plain data, no behaviour.
///
/// Every field states its unit (also in its name) and has a default. The range in which the model
/// is meant to be used and where range and default come from stand in the table of keys alone
/// (sim/machine; as a document docs/machine-keys.md). Flows in L/min are at 0 degC and 101.325 kPa,
/// pressures are gauge. docs/plant.md holds the equations the fields enter.
namespace ovenproof::plant {

/// Inert gas that fills the chamber.
enum class Gas { nitrogen, argon };

/// Thermocouple alloy pair by its IEC 60584-1 letter.
enum class ThermocoupleType { k, n };

/// How a transmitter maps its range onto 4..20 mA.
enum class TransmitterScale { linear, logarithmic };

/// The sealed chamber.
struct ChamberParameters {
  /// Free gas volume, m3.
  double volume_m3 = 0.160;
  /// Highest gauge pressure the chamber is built for, Pa. Judges overpressure only; nothing bursts.
  double max_pressure_Pa = 2000.0;
  /// Highest pressure below that of the room the chamber is built for, Pa. Judges underpressure
  /// only.
  double max_underpressure_Pa = 5000.0;
  /// Pressure below that of the room at which the vacuum relief valve opens and lets in room air,
  /// Pa, and its flow per pressure beyond that, L/min per Pa, held as the exhaust's is. Without
  /// both there is no such valve.
  std::optional<double> vacuum_relief_pressure_Pa;
  std::optional<double> vacuum_relief_conductance_L_per_min_Pa;
};

/// Gas supply with its two regulated paths.
struct SupplyParameters {
  Gas gas = Gas::nitrogen;
  /// Oxygen in the supplied gas, ppm.
  double oxygen_ppm = 3.0;
  /// Regulated flow with the purge valve fully open, L/min.
  double purge_L_per_min = 80.0;
  /// Regulated flow with the process valve fully open, L/min.
  double process_L_per_min = 15.0;
  /// Nominal supply pressure, kPa gauge.
  double pressure_kPa = 400.0;
  /// Pressure drop the flow regulators need, kPa. With less, the flow falls in proportion.
  double regulator_drop_kPa = 100.0;
  /// Time from closed to open of each valve, s.
  double purge_valve_stroke_s = 0.4;
  double process_valve_stroke_s = 0.4;
};

/// Self-acting blanket of the closed chamber: a mechanical pressure regulator on the gas supply,
/// past every electric valve, and a hand-set throttle next to it. Neither needs power or
/// controller.
struct BlanketParameters {
  /// Gauge pressure of the chamber below which the regulator opens, Pa. Without it there is none.
  std::optional<double> pressure_Pa;
  /// How far below that pressure the regulator is fully open, Pa, and its flow then, L/min. Slopes
  /// that would fill the chamber's lack in less than 30 ms act as 30 ms (docs/plant.md,
  /// "Pressure").
  double band_Pa = 50.0;
  double max_L_per_min = 10.0;
  /// Flow of the throttle, L/min; it sweeps out the air that finds its way in.
  double sweep_L_per_min = 0.0;
};

/// Everything that lets gas through the shell by ways other than valves and exhaust.
struct TightnessParameters {
  /// Air that finds its way in against the slight overpressure (diffusion along seals, fan-side
  /// suction), L/min of air.
  double air_ingress_L_per_min = 0.002;
  /// Leak through the closed door's seals, either way, L/min per Pa.
  double seal_conductance_L_per_min_Pa = 0.001;
  /// What a wholly failed seal adds to each of the two above.
  double failed_seal_ingress_L_per_min = 5.0;
  double failed_seal_conductance_L_per_min_Pa = 0.05;
};

/// Exhaust with its non-return valve, and the chamber's relief valve, which opens to where the
/// exhaust does.
struct ExhaustParameters {
  /// Gauge pressure at which the non-return valve opens, Pa.
  double cracking_pressure_Pa = 100.0;
  /// Flow per pressure above cracking, L/min per Pa. Values that would empty the chamber's excess
  /// pressure in less than 30 ms act as 30 ms (see docs/plant.md, "Pressure").
  double conductance_L_per_min_Pa = 0.2;
  /// Air that diffuses back through a valve stuck open, L/min of air.
  double back_diffusion_L_per_min = 0.5;
  /// True: the exhaust leaves the building; false: it is released into the room.
  bool ducted = true;
  /// Gauge pressure at which the relief valve opens, Pa, and its flow per pressure beyond that,
  /// L/min per Pa, held as the exhaust's is. Without both there is no such valve.
  std::optional<double> relief_pressure_Pa;
  std::optional<double> relief_conductance_L_per_min_Pa;
  /// Largest flow of gas that exhaust and room are made for, L/min; none: not stated. Judges only.
  std::optional<double> capacity_L_per_min;
};

/// Mixing inside the chamber: a stirred main zone, a pocket zone that exchanges with it, and a
/// share of the fresh gas that leaves by the exhaust unmixed.
struct MixingParameters {
  /// Share of the volume in pockets (load, corners, ducts).
  double pocket_fraction = 0.06;
  /// Exchange time constant of the pockets with the fan at full speed / at rest, s.
  double pocket_time_fan_s = 8.0;
  double pocket_time_still_s = 240.0;
  /// Share of the inflow that short-circuits to the exhaust, fan at full speed / at rest.
  double bypass_fan = 0.02;
  double bypass_still = 0.35;
};

/// The loading door.
struct DoorParameters {
  /// Time a person takes to open or close it, s.
  double travel_s = 2.0;
  /// Opening (0 closed, 1 open) above which each contact no longer proves it closed.
  double contact_1_opening = 0.005;
  double contact_2_opening = 0.010;
  /// Opening at which the gas valve that the door works is shut; it is fully open up to half of
  /// that. It stands in the supply of both paths and of the blanket. Without it there is none.
  std::optional<double> gas_valve_opening;
  /// Time constant of the air exchange through the fully open door, s.
  double exchange_time_s = 12.0;
  /// Open area, m2, and effective emissivity of the hot interior seen through it.
  double aperture_m2 = 0.25;
  double emissivity = 0.85;
};

/// People who load and unload. Nothing of the plant depends on it: the simulated attendant keeps to
/// it, and hazards are judged by it.
struct PeopleParameters {
  /// From the opening of the door until somebody may reach in, s: the operating instructions.
  double airing_s = 120.0;
  /// Hottest surface that they may touch with what they wear.
  double handling_temperature_degC = bare_metal_burn_degC;
};

/// Circulation fan.
struct FanParameters {
  /// Time from rest to full speed and from full speed to rest, s.
  double run_up_s = 3.0;
  double run_down_s = 6.0;
  /// Shaft power at full speed in gas of 20 degC, W; it ends as heat in the gas.
  double shaft_power_W = 250.0;
  /// Airflow (share of full) at which the airflow switch proves, and its lag, s.
  double proof_fraction = 0.7;
  double proof_lag_s = 0.5;
};

/// Electric heater.
struct HeaterParameters {
  /// Power at full drive, W.
  double power_W = 12000.0;
  /// Heat capacity of all elements, J/K.
  double heat_capacity_J_per_K = 4000.0;
  /// Convection to the gas with fan at full speed / at rest, W/K in nitrogen.
  double convection_fan_W_per_K = 55.0;
  double convection_still_W_per_K = 6.0;
  /// Effective emissivity times area of the radiation to the wall, m2.
  double wall_radiation_m2 = 0.12;
  /// Highest temperature the elements stand, degC. Judges only.
  double max_temperature_degC = 850.0;
};

/// Chamber wall (the sealed inner box) and what is as thin as the gas is light.
struct WallParameters {
  /// Heat capacity of the box, J/K.
  double heat_capacity_J_per_K = 23000.0;
  /// Convection gas to wall with fan at full speed / at rest, W/K in nitrogen.
  double convection_fan_W_per_K = 125.0;
  double convection_still_W_per_K = 12.0;
  /// Heat capacity of baffles and fan wheel that follow the gas, J/K.
  double baffles_J_per_K = 800.0;
  /// Highest wall temperature, degC. Judges only.
  double max_temperature_degC = 620.0;
};

/// What is treated. A load has an outside that meets the gas and an inside that follows.
struct LoadParameters {
  /// Mass, kg (0: empty rack), and specific heat, J/kgK.
  double mass_kg = 40.0;
  double specific_heat_J_per_kgK = 380.0;
  /// Heat capacity of rack and basket, counted to the outside, J/K.
  double rack_J_per_K = 3000.0;
  /// Share of the load's mass that is inside.
  double inside_fraction = 0.5;
  /// Convection gas to load with fan at full speed / at rest, W/K in nitrogen.
  double convection_fan_W_per_K = 100.0;
  double convection_still_W_per_K = 9.0;
  /// Outside to inside, W/K.
  double inside_conductance_W_per_K = 200.0;
  /// Effective emissivity times area of the radiation between wall and load, m2.
  double wall_radiation_m2 = 0.25;
  /// Temperature above which the load must not meet oxygen above `max_oxygen_ppm`. Judges only.
  double oxidation_temperature_degC = 150.0;
  double max_oxygen_ppm = 1000.0;
  /// Highest temperature the load stands, degC; none: not stated. Judges only.
  std::optional<double> max_temperature_degC;
};

/// Two insulation layers and the outer casing.
struct InsulationParameters {
  /// Heat capacities of inner layer, outer layer, casing, J/K.
  double inner_J_per_K = 7000.0;
  double outer_J_per_K = 7000.0;
  double casing_J_per_K = 16000.0;
  /// Conductances wall to inner layer, layer to layer, outer layer to casing, W/K.
  double wall_inner_W_per_K = 8.0;
  double inner_outer_W_per_K = 7.0;
  double outer_casing_W_per_K = 8.0;
  /// Casing to room, W/K.
  double casing_room_W_per_K = 32.0;
};

/// Forced cooling: blowers push room air through the jacket between wall and insulation, past a
/// damper. Without it (`fitted` false) there is no jacket airflow at all.
struct CoolingParameters {
  bool fitted = true;
  /// Airflow with damper open and blowers at full speed, L/s at 20 degC.
  double airflow_L_per_s = 110.0;
  /// UA between wall and jacket air at that flow, W/K; scales with flow^0.8.
  double ua_W_per_K = 75.0;
  /// Blower pressure at that flow, Pa.
  double blower_pressure_Pa = 400.0;
  /// Height of the hot air column, m.
  double chimney_height_m = 1.5;
  /// Loss coefficient of ducts and jacket, on the damper's velocity.
  double duct_loss = 6.0;
  /// Leakage area of the closed damper as a share of its bore.
  double closed_leakage_fraction = 0.004;
  /// Time the drive takes from closed to open, and the spring from open to closed, s.
  double damper_open_s = 12.0;
  double damper_close_s = 8.0;
  /// How near its end, in opening, the damper works its end switch.
  double end_switch_margin = 0.02;
  /// Blower from rest to full speed and back, s.
  double blower_run_up_s = 4.0;
  double blower_run_down_s = 8.0;
  /// Airflow (share of nominal) at which the blower's airflow switch proves.
  double blower_proof_fraction = 0.5;
};

/// Contactors Q1 and Q2.
struct ContactorParameters {
  /// Coil energised to main contacts closed, and the reverse, s.
  double pull_in_s = 0.025;
  double drop_out_s = 0.035;
};

/// How the outputs of the controller get their supply.
struct OutputParameters {
  /// True: through control relay K0, which holds itself, drops out with the supply, and pulls in
  /// when the reset button is let go. False: directly; what is driven is energised again as soon as
  /// the supply is back.
  bool supply_latched = false;
};

/// The emergency stop. Its first contact is in the hard-wired chain of the heat, its read-back goes
/// to the controller.
struct EmergencyStopParameters {
  /// True: a second contact cuts the supply of the outputs: fan, blowers, gas valves, damper, heat.
  bool cuts_outputs = false;
};

/// Pressure switch and flow switches.
struct SwitchParameters {
  /// Supply pressure at which the pressure switch makes, kPa, and its hysteresis, kPa.
  double supply_kPa = 250.0;
  double supply_hysteresis_kPa = 20.0;
  /// Share of the regulated flow at which each flow switch makes; it breaks 5 % of the regulated
  /// flow lower.
  double flow_fraction = 0.8;
  /// Share of the regulated flow at which it lets go.
  [[nodiscard]] constexpr double flow_release() const { return flow_fraction - 0.05; }
  /// Lag of the flow switches, s.
  double flow_lag_s = 0.4;
};

/// Control thermocouples TE-1A and TE-1B and their terminals.
struct ThermocoupleParameters {
  ThermocoupleType type = ThermocoupleType::k;
  /// Time constants in the moving gas, s.
  double a_time_constant_s = 6.0;
  double b_time_constant_s = 8.0;
  /// Share of the casing's excess temperature that the terminals (cold junction) take on, and their
  /// time constant, s.
  double terminal_casing_share = 0.3;
  double terminal_time_constant_s = 600.0;
};

/// Independent over-temperature limiter in the hard-wired chain.
struct LimiterParameters {
  /// Trips at or above, degC; may be reset this much lower, K.
  double set_point_degC = 600.0;
  double reset_below_K = 20.0;
  /// Where its thermocouple sits: share of the elements' temperature in what it feels, the rest is
  /// gas.
  double element_share = 0.1;
  /// Time constant, s.
  double time_constant_s = 6.0;
};

/// Oxygen measurement: heated zirconia cell with its own type K thermocouple, sampled from the
/// exhaust neck; a transmitter's mA is formed from the same cell.
struct OxygenParameters {
  /// Regulated cell temperature, degC.
  double cell_temperature_degC = 750.0;
  /// Time constant of the warm-up, s; steady within about five.
  double warm_up_time_constant_s = 200.0;
  /// Transport delay from the exhaust neck to the cell, s, and the cell's own lag, s.
  double transport_delay_s = 3.0;
  double cell_lag_s = 2.0;
  /// Impedance of the warm cell against the input impedance that loads it, ohm.
  double cell_impedance_ohm = 200.0;
  double input_impedance_ohm = 1e7;
  /// Transmitter: scale and the ppm at 4 and 20 mA. A logarithmic scale must start above 0.
  TransmitterScale scale = TransmitterScale::logarithmic;
  double transmitter_low_ppm = 1.0;
  double transmitter_high_ppm = 250000.0;
  /// Current the transmitter drives while its cell is not at temperature, mA.
  double transmitter_fault_mA = 3.5;
};

/// The room the oven stands in.
struct RoomParameters {
  /// Volume, m3.
  double volume_m3 = 80.0;
  /// Air changes per hour with ventilation running.
  double air_changes_per_h = 4.0;
};

/// One oven, whole.
struct Parameters {
  ChamberParameters chamber;
  SupplyParameters supply;
  BlanketParameters blanket;
  TightnessParameters tightness;
  ExhaustParameters exhaust;
  MixingParameters mixing;
  DoorParameters door;
  FanParameters fan;
  HeaterParameters heater;
  WallParameters wall;
  LoadParameters load;
  InsulationParameters insulation;
  CoolingParameters cooling;
  ContactorParameters contactors;
  OutputParameters outputs;
  EmergencyStopParameters emergency_stop;
  SwitchParameters switches;
  ThermocoupleParameters thermocouples;
  LimiterParameters limiter;
  OxygenParameters oxygen;
  RoomParameters room;
  PeopleParameters people;
};

}  // namespace ovenproof::plant
