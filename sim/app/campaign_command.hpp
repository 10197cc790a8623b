#pragma once
#include "sim/app/command.hpp"

namespace ovenproof::app {

/// `ovenproof campaign MACHINE`: every failure mode, in every phase, judged by what the oven does.
void add_campaign_command(CLI::App& app, Chosen& chosen);

}  // namespace ovenproof::app
