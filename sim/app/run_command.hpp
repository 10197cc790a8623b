#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `ovenproof run`: one oven through whole cycles, with its attendant.
void add_run_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
