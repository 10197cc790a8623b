#include "sim/machine/part.hpp"

namespace ovenproof::machine {

bool has_part(Part part, const settings::Options& options) {
  using settings::OxygenSensor;
  switch (part) {
    case Part::every_oven:
      return true;
    case Part::oxygen_monitor:
      return options.oxygen_sensor != OxygenSensor::none;
    case Part::oxygen_cell:
      return options.oxygen_sensor == OxygenSensor::zirconia_cell;
    case Part::oxygen_transmitter:
      return options.oxygen_sensor == OxygenSensor::transmitter;
    case Part::jacket_cooling:
      return options.jacket_cooling;
    case Part::second_door_contact:
      return options.door_contacts >= 2;
    case Part::second_thermocouple:
      return options.thermocouples >= 2;
  }
  return false;
}

Decider decider(Part part) {
  switch (part) {
    case Part::every_oven:
      break;
    case Part::oxygen_monitor:
      return {"options.oxygen_sensor", "zirconia_cell or transmitter"};
    case Part::oxygen_cell:
      return {"options.oxygen_sensor", "zirconia_cell"};
    case Part::oxygen_transmitter:
      return {"options.oxygen_sensor", "transmitter"};
    case Part::jacket_cooling:
      return {"options.jacket_cooling", "true"};
    case Part::second_door_contact:
      return {"options.door_contacts", "2"};
    case Part::second_thermocouple:
      return {"options.thermocouples", "2"};
  }
  return {};
}

}  // namespace ovenproof::machine
