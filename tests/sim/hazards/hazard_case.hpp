#pragma once
#include <functional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "oven_rig.hpp"

namespace ovenproof::hazards::testing {

/// What is done to the oven; the same with and without what tips it over.
using Deed = std::function<void(rig::testing::OvenAtHand&, bool tip_over)>;

struct Case {
  std::string hazard;
  std::string how;
  Deed deed;
  std::function<rig::Oven(bool tip_over)> oven = [](bool) { return rig::testing::quick_oven(); };
};

inline void reach(rig::testing::OvenAtHand& oven, logic::Phase phase) {
  REQUIRE(oven.start_and_reach(phase));
  oven.run_s(20.0);
}

/// Somebody at the open door.
std::vector<Case> cases_of_people();
/// What goes on at rest, with and without a start.
std::vector<Case> cases_of_start();

}  // namespace ovenproof::hazards::testing
