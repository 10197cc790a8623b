#pragma once
#include <string>
#include <vector>

#include "sim/scenario/case.hpp"
#include "sim/scenario/reporter.hpp"

namespace ovenproof::scenario {

/// Reads one action key of a step ("press", "fault" ...) with its value; `key` is its full path.
/// What is wrong is reported.
void read_action(const machine::Node& node, const std::string& key, Reporter& reporter,
                 std::vector<Action>& actions);

}  // namespace ovenproof::scenario
