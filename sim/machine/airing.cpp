#include "sim/machine/airing.hpp"

#include "sim/machine/estimate.hpp"
#include "sim/plant/constants.hpp"
#include "sim/plant/plant.hpp"

namespace ovenproof::machine {

std::optional<double> airing_needed_s(const plant::Parameters& parameters) {
  const plant::Surroundings around{.ambient_degC = ambient_degC,
                                   .supply_kPa = parameters.supply.pressure_kPa};
  plant::Plant oven(parameters, around, {.chamber_degC = ambient_degC, .oxygen = 0.0});
  const plant::Operator opened{.door_open = true};
  const auto scans_per_s = static_cast<int>(1.0 / oven.timing().scan_s + 0.5);
  for (int s = 1; s <= static_cast<int>(longest_airing_s); ++s) {
    for (int scan = 0; scan < scans_per_s; ++scan) oven.step({}, opened, around);
    if (oven.truth().oxygen >= plant::least_oxygen_for_people) return s;
  }
  return std::nullopt;
}

}  // namespace ovenproof::machine
