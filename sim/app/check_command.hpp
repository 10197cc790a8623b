#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `check MACHINE...`: validates machine files and prints what they say and what follows from it.
void add_check_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
