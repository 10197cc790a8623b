#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace ovenproof::replay {

/// How a log writes its time.
enum class TimeFormat : std::uint8_t {
  automatic,     ///< by the header's unit, else by the look of the first time
  seconds,       ///< a number
  milliseconds,  ///< a number
  iso8601,       ///< "2031-05-02T13:45:06.25Z"; a blank may stand for the T
  clock,         ///< "13:45:06.25", hours without limit; midnight may pass
};

/// "s", "ms", "iso8601", "clock".
std::string_view name_of(TimeFormat format);
/// Its inverse, with "auto".
std::optional<TimeFormat> time_format(std::string_view name);
/// What a time in that format looks like, for messages.
std::string_view example_of(TimeFormat format);

/// The format of a column named `header` ("time [ms]") whose first time is `text`.
TimeFormat guess_format(std::string_view header, std::string_view text);

/// A time in ms, rounded to the nearest: since 1970-01-01T00:00Z for ISO 8601 (without an offset,
/// taken as UTC), since midnight for a clock. At most 1e14 in magnitude.
/// \param decimal the decimal mark of numbers, or 0: point or comma
std::optional<std::int64_t> parse_time(std::string_view text, TimeFormat format, char decimal);

/// The same as text in its format. `format` must not be `automatic`.
std::string format_time(std::int64_t ms, TimeFormat format);

/// A decimal number; no "inf", no hexadecimal, no digit separators. `decimal` as above.
std::optional<double> parse_number(std::string_view text, char decimal);

}  // namespace ovenproof::replay
