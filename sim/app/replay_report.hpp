#pragma once
#include <string>

#include "sim/app/terminal.hpp"
#include "sim/machine/machine.hpp"
#include "sim/replay/replay.hpp"

namespace ovenproof::app {

/// What a replay found: text of at most 80 columns.
std::string replay_report(const machine::Machine& machine, const replay::Request& request,
                          const replay::ReplayResult& result, const Style& style);

/// The same as one JSON object with a newline at the end.
std::string replay_json(const machine::Machine& machine, const replay::Request& request,
                        const replay::ReplayResult& result);

/// Errors of the log, the mapping or a property: the first ones, and how many more there are.
std::string replay_errors(const replay::ErrorList& errors, const Style& style);

/// The same as one JSON object with a newline at the end.
std::string replay_errors_json(const replay::ErrorList& errors);

/// "on", "off", "37.5 %": the value of an output.
std::string output_text(const replay::Signal& output, double value);

}  // namespace ovenproof::app
