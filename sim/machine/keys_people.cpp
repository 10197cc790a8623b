#include "sim/machine/key_rows.hpp"

/// The table of keys: what people who load and unload keep to.
namespace ovenproof::machine::rows {

std::vector<Key> people_keys() {
  using P = plant::Parameters;
  using G = plant::PeopleParameters;
  using D = Dimension;
  constexpr auto g = &P::people;
  return {
      plant_key<g, &G::airing_s>(
          "people.airing", "s", D::time, 0, 3600,
          "from the opening of the door until somebody may reach in, as the operating "
          "instructions say; the simulated attendant keeps to it",
          "common practice, no source"),
      plant_key<g, &G::handling_temperature_degC>(
          "people.handling_temperature", "degC", D::temperature, 30, 400,
          "hottest load or chamber wall that people touch with what they wear; judges only",
          "bare metal burns skin in 10 s, from memory: ISO 13732-1:2006, figure of uncoated metal, "
          "number unknown: check against the standard; gloves allow more")};
}

}  // namespace ovenproof::machine::rows
