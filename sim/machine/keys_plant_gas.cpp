#include "sim/machine/key_rows.hpp"

/// The table of keys: what only the plant needs to know.
namespace ovenproof::machine::rows {

using P = plant::Parameters;
using D = Dimension;

std::vector<Key> plant_gas_keys() {
  std::vector<Key> keys;
  const auto add = [&](Key key) { keys.push_back(std::move(key)); };
  {
    using G = plant::ChamberParameters;
    constexpr auto g = &P::chamber;
    add(plant_key<g, &G::max_pressure_Pa>(
        "chamber.max_pressure", "Pa", D::pressure, 100, 100000,
        "highest gauge pressure the chamber is built for; judges overpressure",
        "estimate for a flat sheet-metal door"));
    add(plant_key<g, &G::max_underpressure_Pa>(
        "chamber.max_underpressure", "Pa", D::pressure, 100, 100000,
        "how far below the room's pressure the chamber is built for; judges underpressure",
        "estimate: clamped square plate of 0.54 m and 3 mm, bent at the middle of an edge to 0.308 "
        "p (a/t)^2 = 50 MPa; from memory: Roark's Formulas for Stress and Strain, table 11.4, case "
        "8: check against the source"));
    add(plant_optional_key<g, &G::vacuum_relief_pressure_Pa>(
        "chamber.vacuum_relief_pressure", "Pa", D::pressure, 10, 50000,
        "how far below the room's pressure the vacuum relief valve opens and lets in room air; not "
        "stated: there is none",
        "as built"));
    add(plant_optional_key<g, &G::vacuum_relief_conductance_L_per_min_Pa>(
        "chamber.vacuum_relief_conductance", "L/(min Pa)", D::gas_conductance, 0.001, 10,
        "its flow for each Pa beyond that; stated with it", "as built"));
  }
  {
    using G = plant::SupplyParameters;
    constexpr auto g = &P::supply;
    add(plant_key<g, &G::oxygen_ppm>(
        "supply.oxygen", "ppm", D::mole_fraction, 0, 1000, "oxygen in the supplied gas",
        "common practice, no source (bottled gas of 99.999 % holds a few ppm)"));
    add(plant_key<g, &G::pressure_kPa>("supply.pressure", "kPa", D::pressure, 50, 2000,
                                       "nominal supply pressure, gauge",
                                       "common practice, no source"));
    add(plant_key<g, &G::regulator_drop_kPa>("supply.regulator_drop", "kPa", D::pressure, 5, 500,
                                             "pressure drop that the flow regulators need",
                                             "estimate"));
    add(plant_key<g, &G::purge_valve_stroke_s>("supply.purge_valve_stroke", "s", D::time, 0.02, 60,
                                               "purge valve, closed to open",
                                               "estimate for a solenoid-piloted valve"));
    add(plant_key<g, &G::process_valve_stroke_s>("supply.process_valve_stroke", "s", D::time, 0.02,
                                                 60, "process valve, closed to open",
                                                 "estimate for a solenoid-piloted valve"));
  }
  {
    using G = plant::BlanketParameters;
    constexpr auto g = &P::blanket;
    add(plant_optional_key<g, &G::pressure_Pa>(
        "blanket.pressure", "Pa", D::pressure, 5, 2000,
        "gauge pressure of the chamber below which the blanket regulator opens; not stated: there "
        "is none",
        "as built"));
    add(plant_key<g, &G::band_Pa>("blanket.band", "Pa", D::pressure, 1, 2000,
                                  "how far below blanket.pressure the regulator is fully open",
                                  "estimate"));
    add(plant_key<g, &G::max_L_per_min>("blanket.max_flow", "L/min", D::gas_flow, 0.1, 2000,
                                        "its flow then", "estimate"));
    add(plant_key<g, &G::sweep_L_per_min>(
        "blanket.sweep", "L/min", D::gas_flow, 0, 200,
        "flow of a hand-set throttle next to the regulator, which sweeps out the air that finds "
        "its way in",
        "as built"));
  }
  {
    using G = plant::TightnessParameters;
    constexpr auto g = &P::tightness;
    add(plant_key<g, &G::air_ingress_L_per_min>(
        "tightness.air_ingress", "L/min", D::gas_flow, 0, 10,
        "air that finds its way in against the overpressure",
        "estimate; gives an oxygen floor near 10 ppm at full purge flow (common practice, no "
        "source)"));
    add(plant_key<g, &G::seal_conductance_L_per_min_Pa>(
        "tightness.seal_conductance", "L/(min Pa)", D::gas_conductance, 0, 1,
        "leak through the closed door's seals, either way", "estimate (0.5 L/min at 500 Pa)"));
    add(plant_key<g, &G::failed_seal_ingress_L_per_min>(
        "tightness.failed_seal_ingress", "L/min", D::gas_flow, 0, 100,
        "air ingress that a wholly failed seal adds",
        "estimate (a damaged strip some 10 cm long)"));
    add(plant_key<g, &G::failed_seal_conductance_L_per_min_Pa>(
        "tightness.failed_seal_conductance", "L/(min Pa)", D::gas_conductance, 0, 10,
        "leak that a wholly failed seal adds", "estimate (a damaged strip some 10 cm long)"));
  }
  {
    using G = plant::ExhaustParameters;
    constexpr auto g = &P::exhaust;
    add(plant_key<g, &G::cracking_pressure_Pa>(
        "exhaust.cracking_pressure", "Pa", D::pressure, 0, 2000,
        "gauge pressure at which the non-return valve opens", "estimate (weighted flap)"));
    add(plant_key<g, &G::conductance_L_per_min_Pa>(
        "exhaust.conductance", "L/(min Pa)", D::gas_conductance, 0.001, 10,
        "exhaust flow for each Pa above cracking",
        "estimate (100 L/min at 500 Pa above cracking)"));
    add(plant_key<g, &G::back_diffusion_L_per_min>(
        "exhaust.back_diffusion", "L/min", D::gas_flow, 0, 50,
        "air that diffuses back through a non-return valve stuck open",
        "estimate (counter-flow in a short 25 mm pipe)"));
    add(plant_flag<g, &G::ducted>(
        "exhaust.ducted", "the exhaust leaves the building; otherwise it is released into the room",
        "as built"));
    add(plant_optional_key<g, &G::relief_pressure_Pa>(
        "exhaust.relief_pressure", "Pa", D::pressure, 10, 100000,
        "gauge pressure at which the chamber's relief valve opens, to where the exhaust does; not "
        "stated: there is none",
        "as built"));
    add(plant_optional_key<g, &G::relief_conductance_L_per_min_Pa>(
        "exhaust.relief_conductance", "L/(min Pa)", D::gas_conductance, 0.001, 10,
        "its flow for each Pa beyond that; stated with it", "as built"));
    add(plant_optional_key<g, &G::capacity_L_per_min>(
        "exhaust.capacity", "L/min", D::gas_flow, 0.1, 20000,
        "largest flow of gas that exhaust and room are made for; judges all gas together; not "
        "stated: 1.05 times the larger of the two paths",
        "as built"));
  }
  {
    using G = plant::MixingParameters;
    constexpr auto g = &P::mixing;
    add(plant_key_in_base<g, &G::pocket_fraction>(
        "mixing.pocket_fraction", "%", D::ratio, 0, 50,
        "share of the volume in pockets: load, corners, ducts", "estimate"));
    add(plant_key<g, &G::pocket_time_fan_s>(
        "mixing.pocket_time_fan", "s", D::time, 0.5, 600,
        "exchange time constant of the pockets, fan at full speed", "estimate"));
    add(plant_key<g, &G::pocket_time_still_s>("mixing.pocket_time_still", "s", D::time, 1, 10000,
                                              "exchange time constant of the pockets, fan at rest",
                                              "estimate"));
    add(plant_key_in_base<g, &G::bypass_fan>(
        "mixing.bypass_fan", "%", D::ratio, 0, 90,
        "share of the inflow that leaves unmixed, fan at full speed",
        "estimate; a mixing factor K of 1/(1 - share) in ventilation practice"));
    add(plant_key_in_base<g, &G::bypass_still>(
        "mixing.bypass_still", "%", D::ratio, 0, 90,
        "share of the inflow that leaves unmixed, fan at rest",
        "estimate; a mixing factor K of 1/(1 - share) in ventilation practice"));
  }
  {
    using G = plant::DoorParameters;
    constexpr auto g = &P::door;
    add(plant_key<g, &G::travel_s>("door.travel", "s", D::time, 0.1, 60,
                                   "time a person takes to open or close the door", "estimate"));
    add(plant_key_in_base<g, &G::contact_1_opening>(
        "door.contact_1_opening", "%", D::ratio, 0.05, 20,
        "opening above which contact 1 no longer proves the door closed",
        "estimate (contact 1 is set tighter than contact 2)"));
    add(plant_key_in_base<g, &G::contact_2_opening>(
        "door.contact_2_opening", "%", D::ratio, 0.05, 20,
        "opening above which contact 2 no longer proves the door closed", "estimate",
        Part::second_door_contact));
    add(plant_optional_key_in_base<g, &G::gas_valve_opening>(
        "door.gas_valve_opening", "%", D::ratio, 0.2, 5,
        "opening at which a gas valve that the door works by a lever is shut, in the supply of "
        "both "
        "paths and the blanket; not stated: there is none",
        "common practice, no source"));
    add(plant_key<g, &G::exchange_time_s>("door.exchange_time", "s", D::time, 1, 600,
                                          "time constant of the air exchange through the open door",
                                          "estimate from buoyant exchange through an aperture"));
    add(plant_key<g, &G::aperture_m2>("door.aperture", "m2", D::area, 0.01, 5,
                                      "open area of the door", "an invented oven of about 160 L"));
    add(plant_key<g, &G::emissivity>("door.emissivity", "1", D::ratio, 0.1, 1,
                                     "effective emissivity of the hot inside seen through the door",
                                     "estimate; a cavity is nearly black"));
  }
  {
    using G = plant::OxygenParameters;
    constexpr auto g = &P::oxygen;
    add(plant_key<g, &G::warm_up_time_constant_s>(
        "oxygen.warm_up_time_constant", "s", D::time, 10, 3600,
        "time constant of the cell's warm-up; steady after about five",
        "common practice, no source (10 min to 30 min to be valid)", Part::oxygen_monitor));
    add(plant_key<g, &G::transport_delay_s>("oxygen.transport_delay", "s", D::time, 0, 60,
                                            "exhaust neck to cell", "common practice, no source",
                                            Part::oxygen_monitor));
    add(plant_key<g, &G::cell_lag_s>("oxygen.cell_lag", "s", D::time, 0.1, 60,
                                     "lag of the cell itself", "common practice, no source",
                                     Part::oxygen_monitor));
    add(plant_key<g, &G::cell_impedance_ohm>(
        "oxygen.cell_impedance", "ohm", D::resistance, 1, 100000, "impedance of the warm cell",
        "from memory: data sheet of the cell, impedance: check against the source; below about 600 "
        "degC the signal sags",
        Part::oxygen_monitor));
    add(plant_key<g, &G::input_impedance_ohm>(
        "oxygen.input_impedance", "ohm", D::resistance, 10000, 1e+12,
        "input impedance that loads the cell",
        "from memory: data sheet of the input, impedance: check against the source",
        Part::oxygen_monitor));
    add(plant_key<g, &G::transmitter_fault_mA>("oxygen.transmitter_fault", "mA", D::current, 0, 3.6,
                                               "current while the cell is not at temperature",
                                               "failure-low band of NAMUR NE 43",
                                               Part::oxygen_transmitter));
  }
  {
    using G = plant::RoomParameters;
    constexpr auto g = &P::room;
    add(plant_key<g, &G::volume_m3>("room.volume", "m3", D::volume, 5, 100000,
                                    "the room the oven stands in", "invented"));
    add(plant_key<g, &G::air_changes_per_h>("room.air_changes", "1/h", D::air_changes, 0, 60,
                                            "air changes with ventilation running",
                                            "common practice, no source"));
  }
  {
    using G = plant::ContactorParameters;
    constexpr auto g = &P::contactors;
    add(plant_key<g, &G::pull_in_s>("contactors.pull_in", "s", D::time, 0, 1,
                                    "coil energised to main contacts closed",
                                    "common practice, no source (5 ms to 100 ms)"));
    add(plant_key<g, &G::drop_out_s>("contactors.drop_out", "s", D::time, 0, 1,
                                     "coil de-energised to main contacts open",
                                     "common practice, no source (5 ms to 100 ms)"));
  }
  {
    using G = plant::SwitchParameters;
    constexpr auto g = &P::switches;
    add(plant_key<g, &G::supply_kPa>("switches.supply", "kPa", D::pressure, 5, 2000,
                                     "supply pressure at which the pressure switch makes",
                                     "estimate"));
    add(plant_key<g, &G::supply_hysteresis_kPa>("switches.supply_hysteresis", "kPa", D::pressure, 0,
                                                500, "it breaks this much lower", "estimate"));
    add(plant_key_in_base<g, &G::flow_fraction>(
        "switches.flow_fraction", "%", D::ratio, 10, 98,
        "share of the regulated flow at which a flow switch makes", "estimate"));
    add(plant_key<g, &G::flow_lag_s>("switches.flow_lag", "s", D::time, 0, 30,
                                     "lag of the flow switches", "estimate"));
  }
  return keys;
}

}  // namespace ovenproof::machine::rows
