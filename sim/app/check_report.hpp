#pragma once
#include <string>
#include <vector>

#include "sim/app/terminal.hpp"
#include "sim/machine/load.hpp"

namespace ovenproof::app {

/// A file and what came of reading it.
struct Checked {
  std::string file;
  machine::Loaded loaded;
};

/// What a machine is, its I/O list, what differs from the defaults, and what follows: text of at
/// most 80 columns.
std::string check_report(const machine::Machine& machine, const Style& style);

/// Errors for people: wrapped, with a count at the end.
std::string error_report(const std::vector<machine::Error>& errors, const Style& style);

/// All files as one JSON object, with a newline at the end:
/// {"machines": [{"file", "valid", then either "errors" or the machine}]}.
std::string check_json(const std::vector<Checked>& all);

}  // namespace ovenproof::app
