#pragma once
#include <string>

#include "sim/app/terminal.hpp"
#include "sim/cycle/run.hpp"
#include "sim/machine/machine.hpp"

namespace ovenproof::app {

/// Timeline, key figures and hazards of a run: text of at most 80 columns.
std::string run_report(const machine::Machine& machine, const cycle::RunResult& result,
                       const Style& style);

/// The same and the outputs' changes as one JSON object with a newline at the end. Nothing in it
/// depends on when or how fast it ran.
std::string run_json(const machine::Machine& machine, const cycle::RunResult& result);

/// "1:02:03.45": hours, minutes, seconds, hundredths.
std::string clock_text(std::uint64_t ms);

}  // namespace ovenproof::app
