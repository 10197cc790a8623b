#pragma once
#include <functional>

#include "sim/scenario/case.hpp"
#include "sim/scenario/checkpoint.hpp"
#include "sim/scenario/result.hpp"

namespace ovenproof::scenario {

/// Called after each scan of a case, and once before the first; `rig` is what it was then.
using Observer = std::function<void(const rig::Rig& rig)>;

/// Plays one case from where it starts, and judges it.
///
/// \param stop_when_failed ends the case in the scan in which it first went wrong
CaseResult play(const Case& one, const Checkpoint& from, bool stop_when_failed,
                const Observer& observer);

}  // namespace ovenproof::scenario
