#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `keys`: what a machine file may say, as text, Markdown or JSON Schema.
void add_keys_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
