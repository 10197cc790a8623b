#pragma once
#include "firmware/logic/commands.hpp"
#include "firmware/logic/facts.hpp"
#include "firmware/logic/memory.hpp"
#include "firmware/logic/options.hpp"
#include "firmware/logic/sequence.hpp"

namespace ovenproof::logic {

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

  [[nodiscard]] const Sequence& sequence() const { return sequence_; }
  [[nodiscard]] const Memory& memory() const { return memory_; }
  [[nodiscard]] const Options& options() const { return options_; }

 private:
  Options options_;
  Memory memory_;
  Sequence sequence_;
};

}  // namespace ovenproof::logic
