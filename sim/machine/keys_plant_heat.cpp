#include "sim/machine/key_rows.hpp"

/// The table of keys: what only the plant needs to know.
namespace ovenproof::machine::rows {

using P = plant::Parameters;
using D = Dimension;

std::vector<Key> plant_heat_keys() {
  std::vector<Key> keys;
  const auto add = [&](Key key) { keys.push_back(std::move(key)); };
  {
    using G = plant::FanParameters;
    constexpr auto g = &P::fan;
    add(plant_key<g, &G::run_up_s>("fan.run_up", "s", D::time, 0.1, 120,
                                   "circulation fan, rest to full speed", "estimate"));
    add(plant_key<g, &G::run_down_s>("fan.run_down", "s", D::time, 0.1, 120,
                                     "circulation fan, full speed to rest", "estimate"));
    add(plant_key<g, &G::shaft_power_W>("fan.shaft_power", "W", D::power, 0, 10000,
                                        "shaft power at full speed in gas of 20 degC; ends as heat",
                                        "estimate"));
    add(plant_key_in_base<g, &G::proof_fraction>(
        "fan.proof_fraction", "%", D::ratio, 5, 98,
        "share of full airflow at which the airflow switch makes", "estimate"));
    add(plant_key<g, &G::proof_lag_s>("fan.proof_lag", "s", D::time, 0, 30,
                                      "lag of the airflow switch", "estimate"));
  }
  {
    using G = plant::HeaterParameters;
    constexpr auto g = &P::heater;
    add(plant_key_in_base<g, &G::power_W>("heater.power", "kW", D::power, 0.1, 500,
                                          "electric power at full drive",
                                          "an invented oven of about 160 L"));
    add(plant_key<g, &G::heat_capacity_J_per_K>(
        "heater.heat_capacity", "J/K", D::heat_capacity, 100, 1e+06,
        "heat capacity of all elements", "estimate (8 kg of sheathed element at 500 J/(kg K))"));
    add(plant_key<g, &G::convection_fan_W_per_K>(
        "heater.convection_fan", "W/K", D::conductance, 0.1, 10000,
        "elements to gas, fan at full speed, in nitrogen", "estimate (0.9 m2 at 60 W/(m2 K))"));
    add(plant_key<g, &G::convection_still_W_per_K>(
        "heater.convection_still", "W/K", D::conductance, 0.1, 10000,
        "elements to gas, fan at rest, in nitrogen", "estimate (0.9 m2 at 7 W/(m2 K))"));
    add(plant_key<g, &G::wall_radiation_m2>("heater.wall_radiation", "m2", D::area, 0, 10,
                                            "effective emissivity times area, elements to wall",
                                            "estimate"));
    add(plant_key<g, &G::max_temperature_degC>(
        "heater.max_temperature", "degC", D::temperature, 100, 1400,
        "highest temperature the elements stand; judges only",
        "common practice, no source (stainless sheath)"));
  }
  {
    using G = plant::WallParameters;
    constexpr auto g = &P::wall;
    add(plant_key<g, &G::heat_capacity_J_per_K>(
        "wall.heat_capacity", "J/K", D::heat_capacity, 500, 1e+07,
        "heat capacity of the chamber's inner box",
        "estimate (45 kg of stainless steel at 520 J/(kg K))"));
    add(plant_key<g, &G::convection_fan_W_per_K>(
        "wall.convection_fan", "W/K", D::conductance, 0.1, 10000,
        "gas to wall, fan at full speed, in nitrogen", "estimate (1.8 m2 at 70 W/(m2 K))"));
    add(plant_key<g, &G::convection_still_W_per_K>(
        "wall.convection_still", "W/K", D::conductance, 0.1, 10000,
        "gas to wall, fan at rest, in nitrogen", "estimate (1.8 m2 at 7 W/(m2 K))"));
    add(plant_key<g, &G::baffles_J_per_K>("wall.baffles", "J/K", D::heat_capacity, 50, 100000,
                                          "heat capacity of thin sheet that follows the gas",
                                          "estimate (1.6 kg of thin sheet)"));
    add(plant_key<g, &G::max_temperature_degC>(
        "wall.max_temperature", "degC", D::temperature, 50, 1200,
        "highest temperature the wall stands; judges only", "an invented oven of about 160 L"));
  }
  {
    using G = plant::LoadParameters;
    constexpr auto g = &P::load;
    add(plant_key<g, &G::mass_kg>("load.mass", "kg", D::mass, 0, 5000,
                                  "mass of the load; 0 for an empty rack", "an invented charge"));
    add(plant_key<g, &G::specific_heat_J_per_kgK>(
        "load.specific_heat", "J/(kg K)", D::specific_heat, 100, 3000, "specific heat of the load",
        "copper alloys, from memory: Incropera Fundamentals of Heat and Mass Transfer, table A.1: "
        "check against the source"));
    add(plant_key<g, &G::rack_J_per_K>("load.rack", "J/K", D::heat_capacity, 100, 1e+06,
                                       "heat capacity of rack and basket",
                                       "estimate (6 kg of steel)"));
    add(plant_key_in_base<g, &G::inside_fraction>("load.inside_fraction", "%", D::ratio, 5, 95,
                                                  "share of the load's mass that is inside",
                                                  "estimate"));
    add(plant_key<g, &G::convection_fan_W_per_K>(
        "load.convection_fan", "W/K", D::conductance, 0.1, 10000,
        "gas to load, fan at full speed, in nitrogen", "estimate (1.5 m2 at 65 W/(m2 K))"));
    add(plant_key<g, &G::convection_still_W_per_K>(
        "load.convection_still", "W/K", D::conductance, 0.1, 10000,
        "gas to load, fan at rest, in nitrogen", "estimate (1.5 m2 at 6 W/(m2 K))"));
    add(plant_key<g, &G::inside_conductance_W_per_K>(
        "load.inside_conductance", "W/K", D::conductance, 0.1, 100000,
        "outside of the load to its inside", "estimate"));
    add(plant_key<g, &G::wall_radiation_m2>("load.wall_radiation", "m2", D::area, 0, 10,
                                            "effective emissivity times area, wall to load",
                                            "estimate"));
    add(plant_key<g, &G::oxidation_temperature_degC>(
        "load.oxidation_temperature", "degC", D::temperature, 20, 1200,
        "above this the load must not meet oxygen; judges only", "an invented charge"));
    add(plant_key<g, &G::max_oxygen_ppm>("load.max_oxygen", "ppm", D::mole_fraction, 1, 209500,
                                         "more oxygen than this spoils the hot load; judges only",
                                         "an invented charge"));
    add(plant_optional_key<g, &G::max_temperature_degC>(
        "load.max_temperature", "degC", D::temperature, 20, 1300,
        "highest temperature the load stands; judges only; not stated: the load is judged by "
        "limiter.set_point",
        "of the load"));
  }
  {
    using G = plant::InsulationParameters;
    constexpr auto g = &P::insulation;
    add(plant_key<g, &G::inner_J_per_K>("insulation.inner", "J/K", D::heat_capacity, 100, 1e+07,
                                        "heat capacity of the inner layer",
                                        "estimate (8 kg of fibre at 900 J/(kg K))"));
    add(plant_key<g, &G::outer_J_per_K>("insulation.outer", "J/K", D::heat_capacity, 100, 1e+07,
                                        "heat capacity of the outer layer",
                                        "estimate (8 kg of fibre at 900 J/(kg K))"));
    add(plant_key<g, &G::casing_J_per_K>("insulation.casing", "J/K", D::heat_capacity, 100, 1e+07,
                                         "heat capacity of the casing",
                                         "estimate (35 kg of sheet steel at 460 J/(kg K))"));
    add(plant_key<g, &G::wall_inner_W_per_K>(
        "insulation.wall_inner", "W/K", D::conductance, 0.05, 1000, "wall to inner layer",
        "estimate (2 m2, 150 mm of fibre at 0.08 W/(m K), doubled for bridges)"));
    add(plant_key<g, &G::inner_outer_W_per_K>("insulation.inner_outer", "W/K", D::conductance, 0.05,
                                              1000, "inner to outer layer",
                                              "estimate, as for wall_inner"));
    add(plant_key<g, &G::outer_casing_W_per_K>("insulation.outer_casing", "W/K", D::conductance,
                                               0.05, 1000, "outer layer to casing",
                                               "estimate, as for wall_inner"));
    add(plant_key<g, &G::casing_room_W_per_K>("insulation.casing_room", "W/K", D::conductance, 0.5,
                                              1000, "casing to room",
                                              "estimate (3.5 m2 at 9 W/(m2 K))"));
  }
  {
    using G = plant::CoolingParameters;
    constexpr auto g = &P::cooling;
    add(plant_key<g, &G::airflow_L_per_s>(
        "cooling.airflow", "L/s", D::air_flow, 1, 5000,
        "jacket airflow, damper open and blowers at full speed, at 20 degC",
        "an invented oven of about 160 L", Part::jacket_cooling));
    add(plant_key<g, &G::ua_W_per_K>("cooling.ua", "W/K", D::conductance, 0.5, 5000,
                                     "heat transfer, wall to jacket air, at that flow",
                                     "estimate (1.8 m2 at 40 W/(m2 K))", Part::jacket_cooling));
    add(plant_key<g, &G::blower_pressure_Pa>("cooling.blower_pressure", "Pa", D::pressure, 10, 5000,
                                             "blower pressure at that flow", "estimate",
                                             Part::jacket_cooling));
    add(plant_key<g, &G::chimney_height_m>("cooling.chimney_height", "m", D::length, 0, 20,
                                           "height of the hot air column", "estimate",
                                           Part::jacket_cooling));
    add(plant_key<g, &G::duct_loss>(
        "cooling.duct_loss", "", D::number, 0.1, 1000,
        "loss coefficient of ducts and jacket, on the damper's velocity", "estimate",
        Part::jacket_cooling));
    add(plant_key_in_base<g, &G::closed_leakage_fraction>(
        "cooling.closed_leakage", "%", D::ratio, 0.001, 20,
        "leakage area of the closed damper, share of its bore", "estimate (soft seat)",
        Part::jacket_cooling));
    add(plant_key<g, &G::damper_open_s>("cooling.damper_open", "s", D::time, 0.1, 600,
                                        "damper drive, closed to open", "estimate",
                                        Part::jacket_cooling));
    add(plant_key<g, &G::damper_close_s>("cooling.damper_close", "s", D::time, 0.1, 600,
                                         "damper spring, open to closed", "estimate",
                                         Part::jacket_cooling));
    add(plant_key_in_base<g, &G::end_switch_margin>(
        "cooling.end_switch_margin", "%", D::ratio, 0.1, 10,
        "how near its end the damper works its end switch", "estimate", Part::jacket_cooling));
    add(plant_key<g, &G::blower_run_up_s>("cooling.blower_run_up", "s", D::time, 0.1, 120,
                                          "blowers, rest to full speed", "estimate",
                                          Part::jacket_cooling));
    add(plant_key<g, &G::blower_run_down_s>("cooling.blower_run_down", "s", D::time, 0.1, 120,
                                            "blowers, full speed to rest", "estimate",
                                            Part::jacket_cooling));
    add(plant_key_in_base<g, &G::blower_proof_fraction>(
        "cooling.blower_proof_fraction", "%", D::ratio, 5, 95,
        "share of the airflow at which its switch makes", "estimate", Part::jacket_cooling));
  }
  add(plant_flag<&P::outputs, &plant::OutputParameters::supply_latched>(
      "outputs.supply_latched",
      "the outputs get their supply through control relay K0: it holds itself, drops out with the "
      "supply, and pulls in when the reset button is let go; otherwise what is driven is energised "
      "again as soon as the supply is back",
      "as built"));
  add(plant_flag<&P::emergency_stop, &plant::EmergencyStopParameters::cuts_outputs>(
      "emergency_stop.cuts_outputs",
      "a second contact of the emergency stop cuts the supply of the outputs: fan, blowers, gas "
      "valves and damper; otherwise the hard-wired chain takes the heat alone, and the rest hangs "
      "on the read-back",
      "as built"));
  {
    using G = plant::ThermocoupleParameters;
    constexpr auto g = &P::thermocouples;
    add(plant_key<g, &G::a_time_constant_s>("thermocouples.a_time_constant", "s", D::time, 0.2, 300,
                                            "time constant of TE-1A in the moving gas",
                                            "common practice, no source (6 mm sheath)"));
    add(plant_key<g, &G::b_time_constant_s>("thermocouples.b_time_constant", "s", D::time, 0.2, 300,
                                            "time constant of TE-1B in the moving gas",
                                            "common practice, no source (6 mm sheath)",
                                            Part::second_thermocouple));
    add(plant_key_in_base<g, &G::terminal_casing_share>(
        "thermocouples.terminal_casing_share", "%", D::ratio, 0, 100,
        "share of the casing's excess temperature that the terminals take on", "estimate"));
    add(plant_key<g, &G::terminal_time_constant_s>("thermocouples.terminal_time_constant", "s",
                                                   D::time, 1, 36000,
                                                   "time constant of the terminals", "estimate"));
  }
  {
    using G = plant::LimiterParameters;
    constexpr auto g = &P::limiter;
    add(plant_key<g, &G::set_point_degC>("limiter.set_point", "degC", D::temperature, 30, 1300,
                                         "trips the hard-wired chain at or above this",
                                         "as built"));
    add(plant_key<g, &G::reset_below_K>("limiter.reset_below", "K", D::temperature_difference, 0.5,
                                        200, "may be reset this much lower", "estimate"));
    add(plant_key_in_base<g, &G::element_share>(
        "limiter.element_share", "%", D::ratio, 0, 100,
        "share of the elements' temperature that its sensor feels; the rest is gas",
        "estimate (in the stream behind the elements)"));
    add(plant_key<g, &G::time_constant_s>("limiter.time_constant", "s", D::time, 0.2, 300,
                                          "time constant of its sensor", "estimate"));
  }
  return keys;
}

}  // namespace ovenproof::machine::rows
