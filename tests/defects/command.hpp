#pragma once

namespace ovenproof::defects {

/// The program with the altered firmware. Returns the exit status; never throws.
int run_command(int count, const char* const* arguments);

}  // namespace ovenproof::defects
