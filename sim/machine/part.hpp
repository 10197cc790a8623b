#pragma once
#include <string_view>

#include "firmware/settings/settings.hpp"

namespace ovenproof::machine {

/// Part of an oven that a key or a terminal belongs to; an oven without the part has neither.
enum class Part {
  every_oven,
  oxygen_monitor,
  oxygen_cell,
  oxygen_transmitter,
  jacket_cooling,
  second_door_contact,
  second_thermocouple
};

/// True if an oven with these options has the part.
bool has_part(Part part, const settings::Options& options);

/// The key that decides whether a part is there, and what it must be:
/// {"options.jacket_cooling", "true"}. Both empty for what every oven has.
struct Decider {
  std::string_view key;
  std::string_view must_be;
};
Decider decider(Part part);

}  // namespace ovenproof::machine
