#pragma once

namespace ovenproof::app {

/// What the program tells its caller.
enum class ExitStatus : int {
  all_holds = 0,
  failed = 1,         ///< a property failed or an interlock was refuted
  bad_input = 2,      ///< a file or the command was wrong
  internal_fault = 3  ///< the program itself is at fault
};

}  // namespace ovenproof::app
