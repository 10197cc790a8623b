#pragma once
#include <string>
#include <vector>

#include "sim/app/terminal.hpp"
#include "sim/machine/error.hpp"

namespace ovenproof::app {

/// One error or warning for people, with its related places, a line each, wrapped.
std::string problem_text(const machine::Error& error);

/// What should be looked at, under a heading; empty if there is nothing.
std::string warning_report(const std::vector<machine::Error>& warnings, const Style& style);

}  // namespace ovenproof::app
