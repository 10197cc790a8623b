#pragma once
#include <array>
#include <cstdint>
#include <optional>

#include "firmware/logic/logic.hpp"
#include "sim/prove/adversary.hpp"

namespace ovenproof::prove {

/// Runs the scan that the controller calls, Logic::scan() over a table of all facts, on what was
/// explored step by step: the state after it, the commands and the timers must be the same.
///
/// Facts that the steps did not ask for are as on a healthy oven, all turned round, or at random,
/// in turn: they must make no difference. Where first-outs that the logic treats alike count as
/// one, each run has another of them, all in turn.
class Rerun {
 public:
  /// `alike`: see ScanGraph.
  Rerun(const logic::Options& options, bool alike);

  /// One way through a scan, as it was explored.
  struct Explored {
    std::uint64_t from;               ///< state of the logic, packed
    Reading way;                      ///< facts that were looked at
    const logic::LogicState& to;      ///< the state after it
    const logic::Commands& commands;  ///< with the timers that were run on this way
    logic::Cause tripped_by;          ///< the first-out, if it came on this way
    std::uint64_t turn;               ///< whose turn it is of first-outs and other facts
  };
  struct Found {
    bool first_outs_differ = false;  ///< they must not count as one
    std::optional<FactSet> differs;  ///< all facts of a scan that goes another way than its steps
  };
  [[nodiscard]] Found check(const Explored& explored);

 private:
  [[nodiscard]] bool same(const logic::LogicState& from, FactSet facts, const Explored& explored);

  logic::Logic logic_;
  bool alike_;
  /// By cause: the next one that is alike, in a ring.
  std::array<logic::Cause, logic::cause_count> next_like_{};
};

}  // namespace ovenproof::prove
