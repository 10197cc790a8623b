#pragma once
#include <cstdint>
#include <string>

#include "sim/campaign/campaign.hpp"

namespace ovenproof::campaign {

/// One injection as a scenario file (docs/scenarios.md): every hand of the attendant and every
/// failure at the scan in which it came in the branch, and the outcome as what must hold. Played,
/// it goes on bit for bit as the branch did. Simulates the injection from power-up on. \param
/// machine_path as the scenario shall name the machine file
std::string scenario_of(const Campaign& campaign, std::uint64_t number,
                        const std::string& machine_path);

}  // namespace ovenproof::campaign
