#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `ovenproof evidence`: everything there is to show for one machine, in one folder.
void add_evidence_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
