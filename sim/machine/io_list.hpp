#pragma once
#include <array>
#include <cstddef>
#include <span>
#include <string>
#include <string_view>

#include "firmware/hal/points.hpp"
#include "sim/machine/part.hpp"

/// The I/O list of an oven: which points its options need, and their tags: letters of ISA-5.1, of
/// contactors the letter of IEC 81346-2.
namespace ovenproof::machine {

enum class Signal { contact_in, analog_in, coil_out, analog_out };

/// One terminal of the board.
struct Point {
  Signal signal;
  std::size_t index;              ///< of hal::DigitalIn, hal::AnalogIn or hal::DigitalOut
  std::string_view key;           ///< under `tags` in the machine file
  std::string_view standard_tag;  ///< unless the file gives another
  std::string_view tag_source;    ///< the standard of its letters
  std::string_view what;
  std::string_view electrical;
  Part part;  ///< only ovens with this part have the point
};

inline constexpr std::size_t point_count =
    hal::digital_in_count + hal::analog_in_count + hal::digital_out_count + 1;

/// All points a board can have, in the order of the board's images.
std::span<const Point, point_count> all_points();

/// The tag of each point, in the order of `all_points()`; also of points that are not fitted.
using Tags = std::array<std::string, point_count>;

Tags standard_tags();

/// True for the form of a tag: a letter, then capital letters, digits, dots and dashes, at most
/// 16 characters in all.
bool is_tag(std::string_view text);

/// "DI", "AI", "DO", "AO".
std::string_view short_name(Signal signal);

}  // namespace ovenproof::machine
