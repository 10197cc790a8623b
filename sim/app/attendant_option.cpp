#include "sim/app/attendant_option.hpp"

#include <vector>

#include <CLI/CLI.hpp>

namespace ovenproof::app {

void add_attendant_option(CLI::App& command, cycle::Habit& habit, const std::string& what) {
  const std::vector<std::string> names(cycle::habit_names.begin(), cycle::habit_names.end());
  std::string listed;
  for (const std::string& name : names) {
    // Two to a line: help has some fifty columns.
    const bool new_line = !listed.empty() && (listed.size() - listed.rfind('\n')) > 28;
    listed += listed.empty() ? "\n" : new_line ? ",\n" : ", ";
    listed += name;
  }
  command
      .add_option_function<std::string>(
          "--attendant",
          [&habit](const std::string& name) { habit = cycle::find_habit(name).value(); },
          what + ":" + listed + "\n(docs/campaign.md)")
      ->type_name("NAME")
      ->check([](const std::string& name) {
        return cycle::find_habit(name) ? std::string()
                                       : "there is no attendant of that name: " + name;
      });
}

}  // namespace ovenproof::app
