#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `ovenproof run`: machines through whole cycles, and scenarios.
void add_run_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
