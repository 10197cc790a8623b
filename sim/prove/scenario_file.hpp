#pragma once
#include <string>

#include "sim/prove/proof.hpp"

namespace ovenproof::prove {

/// What a scenario needs to know of the machine.
struct ScenarioMachine {
  std::string path;  ///< of the machine file, as the scenario shall name it
  logic::Options options;
  bool transmitter = false;  ///< oxygen by a current loop, not a cell
  Durations durations;       ///< of its delays and its scan
  bool swept = false;        ///< the blanket sweeps the closed chamber: no air is left to be read
};

/// A refuted claim as a scenario file (docs/scenarios.md) that plays it on the whole oven: what an
/// operator, a wire or a part must do so that each fact comes, and a wait until it has. Facts that
/// only time or the process can bring are waited for; where nothing brings a fact about, a remark
/// in the file says so.
[[nodiscard]] std::string scenario_of(const Claim& claim, const ScenarioMachine& machine);

}  // namespace ovenproof::prove
