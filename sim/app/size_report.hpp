#pragma once
#include <string>
#include <string_view>

namespace ovenproof::app {

/// A figure for people: three significant digits and its unit; shares of the room's oxygen and the
/// like, in percent, with two decimals.
std::string figure_text(double value, std::string_view unit);

}  // namespace ovenproof::app
