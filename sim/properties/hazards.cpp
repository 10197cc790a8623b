#include "sim/properties/hazards.hpp"

#include <array>

namespace ovenproof::properties {
namespace {

constexpr std::array hazards{
    Hazard{"heat-with-door-open", "heater power with the door open",
           "Burns and electric shock at the open chamber; hot load in air.",
           "never (plant.heater_power > limit.heater_power and plant.door_opening > limit.door_gap)"
           " for at least limit.shutdown"},
    Hazard{"heat-without-airflow", "heater power without airflow",
           "Elements burn out or set the fan side alight; the control thermocouple no longer reads"
           " the chamber.",
           "never (plant.heater_power > limit.heater_power and plant.fan_airflow < limit.airflow)"
           " for at least limit.airflow_loss"},
    Hazard{"chamber-overtemperature", "chamber above its limit",
           "Seals, insulation and load are destroyed; fire.",
           "always max(plant.gas, plant.wall) < limit.chamber"},
    Hazard{"element-overtemperature", "element above its limit", "Elements melt or break; fire.",
           "always plant.element < limit.element"},
    Hazard{"hot-load-in-oxygen", "load hot in oxygen above its limit",
           "The load oxidises or burns.",
           "always plant.load > limit.load_hot implies plant.oxygen < limit.load_oxygen"},
    Hazard{"gas-with-door-open", "gas flowing with the door open",
           "Inert gas pours over whoever stands at the door and displaces the air.",
           "never (max(plant.purge_flow, plant.process_flow) > limit.idle_flow and"
           " plant.door_opening > limit.door_gap) for at least limit.gas_shutdown"},
    Hazard{"room-oxygen-low", "room oxygen below what people need", "Suffocation without warning.",
           "always plant.room_oxygen >= limit.room_oxygen"},
    Hazard{"unexpected-start", "energised without a start",
           "Heat comes on while someone believes the oven is off.",
           "never (plant.heater_power > limit.heater_power and"
           " not (not operator.ends since operator.starts)) for at least limit.shutdown"},
    Hazard{"both-gas-paths-open", "both gas paths open at once",
           "Flow beyond what exhaust and room were sized for; the measured flow means nothing.",
           "never plant.purge_valve > limit.valve_position and"
           " plant.process_valve > limit.valve_position"},
    Hazard{"chamber-overpressure", "chamber pressure above its limit",
           "The door or a panel gives way.", "always plant.pressure < limit.pressure"},
    Hazard{"blowers-against-closed-damper", "blowers run against a closed damper",
           "Blowers overheat; the jacket is not cooled although it seems to be.",
           "never (plant.blower_speed > limit.blower_speed and"
           " plant.damper_opening < limit.damper_opening) for at least limit.blower_overlap"},
};

}  // namespace

std::span<const Hazard> default_hazards() { return hazards; }

void add_hazard_limits(SignalTable& table, const HazardLimits& limits) {
  table.add_constant("limit.heater_power", limits.heater_power_W, "W");
  table.add_constant("limit.door_gap", limits.door_gap, "1");
  table.add_constant("limit.shutdown", limits.shutdown_s, "s");
  table.add_constant("limit.gas_shutdown", limits.gas_shutdown_s, "s");
  table.add_constant("limit.airflow", limits.airflow, "1");
  table.add_constant("limit.airflow_loss", limits.airflow_loss_s, "s");
  table.add_constant("limit.chamber", limits.chamber_degC, "degC");
  table.add_constant("limit.element", limits.element_degC, "degC");
  table.add_constant("limit.load_hot", limits.load_hot_degC, "degC");
  table.add_constant("limit.load_oxygen", limits.load_oxygen_ppm, "ppm");
  table.add_constant("limit.idle_flow", limits.idle_flow_L_per_min, "L/min");
  table.add_constant("limit.valve_position", limits.valve_position, "1");
  table.add_constant("limit.pressure", limits.pressure_Pa, "Pa");
  table.add_constant("limit.room_oxygen", limits.room_oxygen_percent, "%");
  table.add_constant("limit.blower_speed", limits.blower_speed, "1");
  table.add_constant("limit.damper_opening", limits.damper_opening, "1");
  table.add_constant("limit.blower_overlap", limits.blower_overlap_s, "s");
}

}  // namespace ovenproof::properties
