#include "sim/formulas/room.hpp"

#include <algorithm>

#include "sim/plant/constants.hpp"
#include "sim/plant/portable_math.hpp"

namespace ovenproof::formulas {

using plant::air_oxygen;
namespace portable = plant::portable;

double room_oxygen_after(double release, double ventilation, double volume, double time) {
  if (release >= ventilation) return air_oxygen * portable::exp(-release * time / volume);
  return air_oxygen *
         (1.0 - release / ventilation * (1.0 - portable::exp(-ventilation * time / volume)));
}

double room_oxygen_steady(double release, double ventilation) {
  if (release <= 0.0) return air_oxygen;
  return release >= ventilation ? 0.0 : air_oxygen * (1.0 - release / ventilation);
}

std::optional<double> time_to_room_oxygen(double level, double release, double ventilation,
                                          double volume) {
  if (level >= air_oxygen) return 0.0;
  if (level <= room_oxygen_steady(release, ventilation)) return std::nullopt;
  if (release >= ventilation) return volume / release * portable::log(air_oxygen / level);
  const double left = 1.0 - ventilation / release * (1.0 - level / air_oxygen);
  return -volume / ventilation * portable::log(left);
}

double room_oxygen_displaced(double gas, double volume) {
  return air_oxygen * std::max(0.0, volume - gas) / volume;
}

}  // namespace ovenproof::formulas
