#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `ovenproof replay`: a recorded log through the firmware.
void add_replay_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
