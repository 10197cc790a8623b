#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

void add_size_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
