#pragma once
#include "firmware/logic/commands.hpp"
#include "firmware/logic/facts.hpp"
#include "firmware/logic/memory.hpp"
#include "firmware/logic/options.hpp"
#include "firmware/logic/sequence.hpp"

namespace ovenproof::logic {

/// All that the logic carries from one scan to the next.
struct LogicState {
  Memory memory;
  Places places;

  friend constexpr bool operator==(const LogicState&, const LogicState&) = default;
};

/// The controller's logic: facts in, commands out, a few dozen bits of state. Copyable; a copy goes
/// on as the original would.
class Logic {
 public:
  /// As at power-up: tripped by `born_tripped_by` (power_up or watchdog_restart), everything
  /// withheld until a reset.
  explicit Logic(Options options, Cause born_tripped_by = Cause::power_up);

  /// One scan.
  Commands scan(const Facts& facts);

  /// Every matrix cause present now, bit n for Cause n; for the alarm list.
  [[nodiscard]] std::uint64_t present_causes(const Facts& facts) const;

  [[nodiscard]] LogicState state() const { return {memory_, sequence_.places()}; }
  /// Goes on from there as the logic that was there would, if it has the same options.
  void resume(const LogicState& state) {
    memory_ = state.memory;
    sequence_.put(state.places);
  }

  [[nodiscard]] const Sequence& sequence() const { return sequence_; }
  [[nodiscard]] const Memory& memory() const { return memory_; }
  [[nodiscard]] const Options& options() const { return options_; }

 private:
  Options options_;
  Memory memory_;
  Sequence sequence_;
};

}  // namespace ovenproof::logic
