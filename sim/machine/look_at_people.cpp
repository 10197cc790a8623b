#include <string>
#include <vector>

#include <fmt/format.h>

#include "sim/machine/airing.hpp"
#include "sim/machine/checker.hpp"

namespace ovenproof::machine {

void look_at_people(Checker& look, const Machine& m) {
  const plant::PeopleParameters& people = m.plant.people;
  const std::optional<double> needed_s = airing_needed_s(m.plant);
  look.need(
      needed_s && people.airing_s >= *needed_s,
      {"people.airing", "door.exchange_time", "mixing.pocket_fraction", "mixing.pocket_time_still"},
      needed_s
          ? fmt::format("at least {:.0f} s: so long after the opening of the door an inert "
                        "chamber is below 19.5 % oxygen, and nobody may reach in",
                        *needed_s)
          : fmt::format("a door that airs the chamber: an inert chamber is below 19.5 % oxygen "
                        "for more than {:.0f} min after its opening",
                        longest_airing_s / 60.0));
  look.need(m.settings.cooling.unload_temperature.value <= people.handling_temperature_degC,
            {"people.handling_temperature", "cooling.unload_temperature"},
            "people.handling_temperature at least cooling.unload_temperature: people are asked to "
            "unload what is too hot to touch with what they wear",
            "unload cooler, or state what their gloves allow");
}

}  // namespace ovenproof::machine
