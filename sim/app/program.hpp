#pragma once

namespace ovenproof::app {

/// The whole program: parses the command line, runs the chosen command, returns the exit status.
/// Never throws.
int run_program(int count, const char* const* arguments);

}  // namespace ovenproof::app
