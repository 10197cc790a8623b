#pragma once
#include <string>

#include "sim/cycle/habit.hpp"

namespace CLI {
class App;
}

namespace ovenproof::app {

/// Adds `--attendant NAME`, which sets `habit`; `what`: the first words of its help.
void add_attendant_option(CLI::App& command, cycle::Habit& habit, const std::string& what);

}  // namespace ovenproof::app
