#pragma once
#include <vector>

#include "sim/rig/probes.hpp"

namespace ovenproof::rig {

/// Adds what the controller's logic sees, says and remembers: every fact, every command, every
/// cause of the matrix, and which cause came first.
void add_logic_probes(std::vector<Probe>& all);

}  // namespace ovenproof::rig
