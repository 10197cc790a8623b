#pragma once
#include <cstdint>
#include <optional>
#include <string_view>

#include "firmware/logic/phase.hpp"
#include "sim/cycle/habit.hpp"

namespace ovenproof::cycle {

/// What the attendant does in one run.
struct Plan {
  std::uint32_t cycles = 2;
  std::uint32_t loading_s = 180;  ///< time of reaching in to unload and load, after the airing
  /// Opens the door some time into this phase of the first cycle, closes it, and watches.
  std::optional<logic::Phase> open_door_in{};
  std::uint32_t open_after_s = 30;  ///< time into that phase
  std::uint32_t watch_s = 600;      ///< time to watch the closed oven afterwards
  /// How often he resets a tripped oven, after he has stood back for a while, and starts it anew
  /// with the load that is in it. The trip after that he leaves to others.
  std::uint32_t restarts = 0;
  std::uint32_t stand_back_s = 300;
  std::uint32_t reset_patience_s = 120;   ///< how long he tries to reset, then he gives up
  std::uint32_t ready_patience_s = 7200;  ///< how long he waits for a valid oxygen reading
  /// From the opening of the door to reaching in; nothing: as the machine's instructions say.
  std::optional<double> airing_s{};
  Habit habit = Habit::usual;
};

/// A hazard that a plan brings about by itself, with the reason why that is no finding about the
/// oven. It counts from the moment the attendant opens the door; before, the hazard is a hazard.
struct Waiver {
  std::string_view hazard;  ///< id
  std::string_view reason;
};

/// What the plan waives: opening a hot oven lets air at its load, and no lock keeps anybody from
/// it.
constexpr std::optional<Waiver> waiver_of(const Plan& plan) {
  using logic::Phase;
  if (plan.open_door_in != Phase::ramp && plan.open_door_in != Phase::soak &&
      plan.open_door_in != Phase::cooling) {
    return std::nullopt;
  }
  return Waiver{
      "load_hot_in_oxygen",
      "the plan opens the door of a hot oven, and the oven has no lock that would prevent "
      "it: the load meets air whatever the controller does"};
}

}  // namespace ovenproof::cycle
