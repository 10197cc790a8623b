#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace ovenproof::cycle {

/// How the attendant goes about the work. All do it in the end; none means harm.
enum class Habit : std::uint8_t {
  usual,
  quick_reloader,
  power_cycler,
  button_holder,
  impatient,
  late,
  stop_and_start,
  emergency_stopper,
  count
};
inline constexpr std::size_t habit_count = static_cast<std::size_t>(Habit::count);

/// Name by which the command line calls a habit, and what the attendant does.
struct HabitInfo {
  Habit habit;
  std::string_view name;
  std::string_view meaning;
};

inline constexpr std::array<HabitInfo, habit_count> habit_table{{
    {Habit::usual, "usual", "does the documented things, and waits as the instructions say"},
    {Habit::quick_reloader, "quick_reloader",
     "has the door open for 60 s at most: airs for 30 s, reloads in 30 s"},
    {Habit::power_cycler, "power_cycler",
     "switches a tripped oven off for 10 s and on again before the reset"},
    {Habit::button_holder, "button_holder",
     "holds reset and start down for a minute, and presses them again if nothing comes of it"},
    {Habit::impatient, "impatient",
     "reaches in as soon as the door is open, resets a trip at once, presses start without waiting "
     "for the readings"},
    {Habit::late, "late", "leaves the oven waiting for 2 h before unloading"},
    {Habit::stop_and_start, "stop_and_start",
     "presses stop a minute into the heating, opens the door for 10 s when the oven lets it, and "
     "starts again with the same load; once a cycle"},
    {Habit::emergency_stopper, "emergency_stopper",
     "holds the emergency stop in for 30 s, half a minute into purge and soak, and while reaching "
     "in at the open door; once each"},
}};

inline constexpr std::array<std::string_view, habit_count> habit_names = [] {
  std::array<std::string_view, habit_count> names;
  for (std::size_t i = 0; i < habit_count; ++i) names[i] = habit_table[i].name;
  return names;
}();

constexpr const HabitInfo& info(Habit habit) {
  return habit_table[static_cast<std::size_t>(habit)];
}

constexpr std::optional<Habit> find_habit(std::string_view name) {
  for (const HabitInfo& each : habit_table) {
    if (each.name == name) return each.habit;
  }
  return std::nullopt;
}

static_assert([] {
  for (std::size_t i = 0; i < habit_count; ++i) {
    if (static_cast<std::size_t>(habit_table[i].habit) != i) return false;
  }
  return true;
}());

}  // namespace ovenproof::cycle
