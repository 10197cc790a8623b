#include "sim/replay/timestamp.hpp"

#include <array>
#include <charconv>
#include <chrono>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::replay {
namespace {

constexpr double latest_ms = 1e14;

constexpr std::array<std::pair<std::string_view, TimeFormat>, 5> names{{
    {"auto", TimeFormat::automatic},
    {"s", TimeFormat::seconds},
    {"ms", TimeFormat::milliseconds},
    {"iso8601", TimeFormat::iso8601},
    {"clock", TimeFormat::clock},
}};

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Takes digits off the front of a text.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : rest_(text) {}

  /// A whole number of `fewest` to `most` digits.
  std::optional<std::int64_t> digits(std::size_t fewest, std::size_t most) {
    std::size_t length = 0;
    std::int64_t value = 0;
    while (length < rest_.size() && length < most && is_digit(rest_[length])) {
      value = value * 10 + (rest_[length++] - '0');
    }
    if (length < fewest) return std::nullopt;
    rest_.remove_prefix(length);
    return value;
  }
  bool any_of(std::string_view characters) {
    if (rest_.empty() || characters.find(rest_.front()) == std::string_view::npos) return false;
    rest_.remove_prefix(1);
    return true;
  }
  /// ms of a decimal fraction of a second, if one follows; half a ms and more counts as one.
  std::optional<std::int64_t> fraction_ms() {
    if (!any_of(".,")) return 0;
    std::int64_t ms = 0;
    std::int64_t weight = 1000;
    bool up = false;
    std::size_t length = 0;
    for (; !rest_.empty() && is_digit(rest_.front()); rest_.remove_prefix(1), ++length) {
      const std::int64_t digit = rest_.front() - '0';
      if (weight > 1) {
        weight /= 10;
        ms += digit * weight;
      } else if (length == 3) {
        up = digit >= 5;
      }
    }
    if (length == 0) return std::nullopt;
    return ms + (up ? 1 : 0);
  }
  [[nodiscard]] bool done() const { return rest_.empty(); }
  [[nodiscard]] char front() const { return rest_.empty() ? '\0' : rest_.front(); }

 private:
  std::string_view rest_;
};

/// "h:mm:ss" and a fraction, in ms; hours of up to `hour_digits` digits.
std::optional<std::int64_t> clock_ms(Scanner& in, std::size_t hour_digits) {
  const auto hours = in.digits(1, hour_digits);
  if (!hours || !in.any_of(":")) return std::nullopt;
  const auto minutes = in.digits(2, 2);
  if (!minutes || *minutes > 59 || !in.any_of(":")) return std::nullopt;
  const auto seconds = in.digits(2, 2);
  if (!seconds || *seconds > 60) return std::nullopt;  // 60: a leap second
  const auto fraction = in.fraction_ms();
  if (!fraction) return std::nullopt;
  return ((*hours * 60 + *minutes) * 60 + *seconds) * 1000 + *fraction;
}

/// Offset from UTC in ms: nothing, "Z", "+hh:mm", "+hhmm" or "+hh".
std::optional<std::int64_t> offset_ms(Scanner& in) {
  if (in.done() || in.any_of("Zz")) return 0;
  const bool west = in.front() == '-';
  if (!in.any_of("+-")) return std::nullopt;
  const auto hours = in.digits(2, 2);
  if (!hours || *hours > 23) return std::nullopt;
  std::int64_t minutes = 0;
  if (!in.done()) {
    in.any_of(":");
    const auto read = in.digits(2, 2);
    if (!read || *read > 59) return std::nullopt;
    minutes = *read;
  }
  const std::int64_t ms = (*hours * 60 + minutes) * 60'000;
  return west ? -ms : ms;
}

std::optional<std::int64_t> iso_ms(std::string_view text) {
  Scanner in(text);
  const auto year = in.digits(4, 4);
  if (!year || !in.any_of("-")) return std::nullopt;
  const auto month = in.digits(2, 2);
  if (!month || !in.any_of("-")) return std::nullopt;
  const auto day = in.digits(2, 2);
  if (!day || !in.any_of("T t")) return std::nullopt;
  const std::chrono::year_month_day date{std::chrono::year(static_cast<int>(*year)),
                                         std::chrono::month(static_cast<unsigned>(*month)),
                                         std::chrono::day(static_cast<unsigned>(*day))};
  if (!date.ok()) return std::nullopt;
  const auto time = clock_ms(in, 2);
  if (!time || *time >= 25 * 3'600'000) return std::nullopt;
  const auto offset = offset_ms(in);
  if (!offset || !in.done()) return std::nullopt;
  const std::int64_t days = std::chrono::sys_days(date).time_since_epoch().count();
  return days * 86'400'000 + *time - *offset;
}

std::string clock_text(std::int64_t ms) {
  return fmt::format("{}:{:02}:{:02}.{:03}", ms / 3'600'000, ms / 60'000 % 60, ms / 1000 % 60,
                     ms % 1000);
}

}  // namespace

std::string_view name_of(TimeFormat format) {
  for (const auto& [name, value] : names) {
    if (value == format) return name;
  }
  return "";
}

std::optional<TimeFormat> time_format(std::string_view name) {
  for (const auto& [known, value] : names) {
    if (known == name) return value;
  }
  return std::nullopt;
}

std::string_view example_of(TimeFormat format) {
  switch (format) {
    case TimeFormat::automatic:
      break;
    case TimeFormat::seconds:
      return "a time in seconds, such as 12.25";
    case TimeFormat::milliseconds:
      return "a time in ms, such as 12250";
    case TimeFormat::iso8601:
      return "a time such as 2031-05-02T13:45:06.25Z";
    case TimeFormat::clock:
      return "a time such as 13:45:06.25";
  }
  return "a time";
}

TimeFormat guess_format(std::string_view header, std::string_view text) {
  if (header.ends_with("[ms]") || header.ends_with("_ms")) return TimeFormat::milliseconds;
  if (header.ends_with("[s]") || header.ends_with("_s")) return TimeFormat::seconds;
  if (text.size() > 10 && text[4] == '-' && text[7] == '-') return TimeFormat::iso8601;
  if (text.find(':') != std::string_view::npos) return TimeFormat::clock;
  return TimeFormat::seconds;
}

std::optional<std::int64_t> parse_time(std::string_view text, TimeFormat format, char decimal) {
  switch (format) {
    case TimeFormat::iso8601:
      return iso_ms(text);
    case TimeFormat::clock: {
      Scanner in(text);
      const auto ms = clock_ms(in, 6);
      return in.done() ? ms : std::nullopt;
    }
    case TimeFormat::automatic:
    case TimeFormat::seconds:
    case TimeFormat::milliseconds:
      break;
  }
  const auto number = parse_number(text, decimal);
  if (!number) return std::nullopt;
  const double ms = format == TimeFormat::milliseconds ? *number : *number * 1000.0;
  if (!(std::fabs(ms) <= latest_ms)) return std::nullopt;
  return static_cast<std::int64_t>(ms + (ms < 0.0 ? -0.5 : 0.5));
}

std::string format_time(std::int64_t ms, TimeFormat format) {
  switch (format) {
    case TimeFormat::iso8601: {
      const auto day = std::chrono::floor<std::chrono::days>(
          std::chrono::sys_time<std::chrono::milliseconds>(std::chrono::milliseconds(ms)));
      const std::chrono::year_month_day date(day);
      const std::int64_t in_day = ms - day.time_since_epoch().count() * 86'400'000;
      return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}Z",
                         static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                         static_cast<unsigned>(date.day()), in_day / 3'600'000,
                         in_day / 60'000 % 60, in_day / 1000 % 60, in_day % 1000);
    }
    case TimeFormat::clock:
      return clock_text(ms);
    case TimeFormat::milliseconds:
      return fmt::format("{} ms", ms);
    case TimeFormat::automatic:
    case TimeFormat::seconds:
      break;
  }
  return fmt::format("{}{}.{:03} s", ms < 0 ? "-" : "", std::llabs(ms) / 1000,
                     std::llabs(ms) % 1000);
}

std::optional<double> parse_number(std::string_view text, char decimal) {
  if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
  // Only what a decimal number is made of: from_chars would also take "inf" and "nan".
  std::array<char, 64> copy{};
  if (text.empty() || text.size() > copy.size()) return std::nullopt;
  std::size_t marks = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    char c = text[i];
    const bool mark = decimal == 0 ? c == '.' || c == ',' : c == decimal;
    if (mark) {
      ++marks;
      c = '.';
    } else if (c == '.' || c == ',') {
      return std::nullopt;
    }
    if (!is_digit(c) && c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E')
      return std::nullopt;
    copy[i] = c;
  }
  if (marks > 1) return std::nullopt;
  double value = 0.0;
  const char* end = copy.data() + text.size();
  const auto [stopped, failure] = std::from_chars(copy.data(), end, value);
  if (failure != std::errc() || stopped != end || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace ovenproof::replay
