#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `ovenproof prove`: every interlock over all orders of events.
void add_prove_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
