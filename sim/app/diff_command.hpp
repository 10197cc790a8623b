#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

void add_diff_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
