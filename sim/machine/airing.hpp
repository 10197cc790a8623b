#pragma once
#include <optional>

#include "sim/plant/parameters.hpp"

namespace ovenproof::machine {

/// How long an open door is looked at, s.
inline constexpr double longest_airing_s = 3600.0;

/// From the opening of the door on a chamber without oxygen, cold and with its fan at rest, until
/// the mean of the chamber is at 19.5 % oxygen, s: by the plant's own door exchange. Empty if it is
/// not within `longest_airing_s`.
std::optional<double> airing_needed_s(const plant::Parameters& parameters);

}  // namespace ovenproof::machine
