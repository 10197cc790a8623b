#pragma once
#include <functional>

#include "sim/app/exit_status.hpp"

namespace CLI {
class App;
}

/// A command of the program is a pair of files `<name>_command.hpp/.cpp` that offers one function
/// `add_<name>_command(CLI::App&, Chosen&)`. It describes the command to the parser, and, when the
/// user chose it, leaves in `Chosen` what is to be done; `main` lists the commands.
namespace ovenproof::app {

/// Does the work of the chosen command: results to standard output, log and progress to standard
/// error. May throw: `main` turns that into an internal fault.
using Chosen = std::function<ExitStatus()>;

}  // namespace ovenproof::app
