#pragma once
#include <algorithm>

/// What goes into the plant and what comes out: physical quantities at the terminals of the field
/// devices, and the truth that hazards are judged on. No board, no counts, no firmware.
namespace ovenproof::plant {

/// What the controller's outputs drive; and, less what the supply of the outputs does not feed,
/// what arrives at the actuators.
struct Actuation {
  bool supply = true;          ///< mains power of the supply of the outputs
  bool k1 = false;             ///< supply to the coil circuit of Q1 (the hard-wired chain follows)
  bool k2 = false;             ///< supply to the coil circuit of Q2
  double heater_drive = 0.0;   ///< share of full heater power demanded, 0..1; clamped
  bool fan = false;            ///< circulation fan
  bool purge_valve = false;    ///< XV-1, spring closed
  bool process_valve = false;  ///< XV-2, spring closed
  bool damper_open = false;    ///< drives the cooling damper open; a spring closes it
  bool blower = false;         ///< cooling blowers

  friend constexpr bool operator==(const Actuation&, const Actuation&) = default;
};

/// What people do at the oven.
struct Operator {
  bool door_open = false;      ///< door is wanted open; it takes its travel time
  bool estop_pressed = false;  ///< emergency stop is pressed in
  bool reset_pressed = false;  ///< the reset button is pressed
  bool limiter_reset = false;  ///< the limiter's own reset button is held

  friend constexpr bool operator==(const Operator&, const Operator&) = default;
};

/// What surrounds the oven.
struct Surroundings {
  double ambient_degC = 20.0;      ///< room and supply gas temperature, -20..60
  double supply_kPa = 400.0;       ///< gas supply pressure upstream of the oven, gauge, 0..2000
  double ventilation_share = 1.0;  ///< share of the room's ventilation that runs, 0..1

  friend constexpr bool operator==(const Surroundings&, const Surroundings&) = default;
};

/// What the field devices present at their terminals. Contacts: true = made (conducting).
struct Field {
  bool door_contact_1 = true;    ///< made while it proves the door closed
  bool door_contact_2 = true;    ///< second contact, set a little wider
  bool estop_healthy = true;     ///< read-back: made while not pressed
  bool limiter_healthy = true;   ///< read-back: made while not tripped
  bool supply_ok = true;         ///< supply pressure switch
  bool purge_flow = false;       ///< flow switch of the purge path
  bool process_flow = false;     ///< flow switch of the process path
  bool fan_airflow = false;      ///< circulation airflow switch
  bool k1_mirror = true;         ///< mirror contact: made while the main contacts of Q1 are open
  bool k2_mirror = true;         ///< mirror contact of Q2
  bool damper_at_open = false;   ///< end switch, open end
  bool damper_at_closed = true;  ///< end switch, closed end
  bool blower_airflow = false;   ///< jacket airflow switch

  double thermocouple_a_mV = 0.0;    ///< TE-1A against its terminals
  double thermocouple_b_mV = 0.0;    ///< TE-1B against its terminals
  double terminal_degC = 20.0;       ///< temperature of the terminals (cold junction)
  double oxygen_cell_mV = 0.0;       ///< zirconia cell, positive when leaner than air
  double oxygen_cell_tc_mV = 0.0;    ///< type K thermocouple of the cell against the terminals
  double oxygen_transmitter_mA = 0;  ///< 4..20 mA transmitter on the same cell
};

/// What is physically so, whatever any sensor says. Hazards are judged on this alone.
struct Truth {
  double time_s = 0.0;

  double element_degC = 0.0;
  double gas_degC = 0.0;
  double wall_degC = 0.0;
  double load_degC = 0.0;         ///< outside of the load
  double load_inside_degC = 0.0;  ///< inside of the load
  double handled_degC = 0.0;      ///< hottest of what people touch: load, its inside, chamber wall
  double insulation_inner_degC = 0.0;
  double insulation_outer_degC = 0.0;
  double casing_degC = 0.0;

  double oxygen = 0.0;          ///< mole fraction, mean of the chamber
  double oxygen_stirred = 0.0;  ///< mole fraction in the stirred zone
  double oxygen_pockets = 0.0;  ///< mole fraction in the pockets
  double oxygen_exhaust = 0.0;  ///< mole fraction at the exhaust neck
  double room_oxygen = 0.0;     ///< mole fraction in the room
  double pressure_Pa = 0.0;     ///< chamber gauge pressure

  double purge_L_per_min = 0.0;          ///< actual flow through the purge path
  double process_L_per_min = 0.0;        ///< actual flow through the process path
  double blanket_L_per_min = 0.0;        ///< through the blanket's regulator and throttle
  double gas_L_per_min = 0.0;            ///< taken from the supply: the three together
  double exhaust_L_per_min = 0.0;        ///< actual flow out of the exhaust; negative: air comes in
  double relief_L_per_min = 0.0;         ///< through the relief valve; negative: air comes in
  double vacuum_relief_L_per_min = 0.0;  ///< of air in through the open vacuum relief valve
  double leak_L_per_min = 0.0;  ///< through seals, a leaking vacuum relief valve and the open door,
                                ///< outward positive

  Actuation fed{};               ///< what arrives at the actuators, before the hard-wired chain
  bool k1_closed = false;        ///< main contacts of Q1, one at least
  bool k2_closed = false;        ///< main contacts of Q2, one at least
  double heater_W = 0.0;         ///< electric power in the elements
  double fan_airflow = 0.0;      ///< share of full circulation airflow
  double door_opening = 0.0;     ///< 0 closed .. 1 open
  double purge_valve = 0.0;      ///< position, 0 closed .. 1 open
  double process_valve = 0.0;    ///< position, 0 closed .. 1 open
  double door_gas_valve = 1.0;   ///< position of the gas valve that the door works, 1 open
  double damper_opening = 0.0;   ///< 0 closed .. 1 open
  double blower_speed = 0.0;     ///< share of full speed
  double jacket_kg_per_s = 0.0;  ///< air through the cooling jacket
  double jacket_W = 0.0;         ///< heat that air takes from the wall

  double gas_used_L = 0.0;  ///< gas taken from the supply, L at 0 degC and 101.325 kPa
  double energy_kWh = 0.0;  ///< electric energy into the elements
};

/// Oxygen where there is most of it in the chamber, mole fraction: the load may lie there.
constexpr double worst_oxygen(const Truth& truth) {
  return std::max(truth.oxygen_stirred, truth.oxygen_pockets);
}

}  // namespace ovenproof::plant
