#pragma once
#include <string>
#include <vector>

#include "sim/scenario/case.hpp"
#include "sim/scenario/reporter.hpp"

namespace ovenproof::scenario {

/// Reads `fault`, `clear`, `clock` or `converter` of a step, whose value may be a list.
void read_fault_action(const machine::Node& node, const std::string& key, Reporter& reporter,
                       std::vector<Action>& actions);

}  // namespace ovenproof::scenario
