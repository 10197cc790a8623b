#include "sim/campaign/catalogue.hpp"

#include <algorithm>
#include <map>

namespace ovenproof::campaign {

std::vector<Mode> catalogue(const machine::Machine& machine) {
  std::vector<Mode> all;
  for (const auto& modes : {contact_modes(machine), sensor_modes(machine), output_modes(machine),
                            component_modes(machine), controller_modes(machine)}) {
    all.insert(all.end(), modes.begin(), modes.end());
  }
  // Grouped by component, in the order in which components first come.
  std::map<std::string, std::size_t> place;
  for (const Mode& mode : all) place.emplace(mode.component, place.size());
  std::stable_sort(all.begin(), all.end(), [&](const Mode& a, const Mode& b) {
    return place.at(a.component) < place.at(b.component);
  });
  return all;
}

}  // namespace ovenproof::campaign
