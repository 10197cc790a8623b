#pragma once
#include <functional>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "sim/cycle/attendant.hpp"
#include "sim/cycle/timeline.hpp"
#include "sim/hazards/hazard_watch.hpp"
#include "sim/rig/rig.hpp"
#include "sim/scenario/case.hpp"
#include "sim/scenario/coverage.hpp"

namespace ovenproof::scenario {

/// An oven under test with all that was observed of it since power was switched on. A plain value:
/// a copy goes on bit for bit as the original would.
struct Observed {
  explicit Observed(const OvenContext& context, bool monitor_warm);

  rig::Rig rig;
  cycle::Timeline timeline;
  hazards::HazardWatch hazards;
  Coverage coverage;

  /// After each scan. True if a hazard has just occurred.
  bool observe();
};

/// The oven as a case finds it, or why it cannot be had.
using Checkpoint = std::variant<std::shared_ptr<const Observed>, std::string>;

/// Brings an oven to where cases find it. All starts of one oven lie on the way of one nominal
/// cycle, so that cycle is simulated once and copied where a case begins.
///
/// Calls `reached` once for each of `starts`, with its index, as soon as it is there.
void reach(const OvenContext& context, const std::vector<Start>& starts,
           const std::function<void(std::size_t, Checkpoint)>& reached);

/// "in soak for 60 s": as a scenario file writes it.
std::string to_text(const Start& start);

}  // namespace ovenproof::scenario
