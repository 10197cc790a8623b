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

/// The steps of a scan, in their order.
enum class Step : std::uint8_t {
  trips,      ///< row by row of the matrix
  interrupt,  ///< what was tripped takes the sequence along; stop and loss of gas break it off
  watch,      ///< contacts that went on, and the timer of the gate
  advance,    ///< the normal course
  settle,     ///< memory follows the phase that was reached; from here on the sequence stays
  actuate,    ///< gas, fan and jacket follow
  permit,     ///< the matrix has the last word
  done
};

/// How far a scan has come. Beside the state of the logic this is all that one step hands on to the
/// next, so what two scans do from here on is the same if these are, whatever they had read before.
struct Progress {
  Step next = Step::trips;
  RowSet trips = 0;   ///< still to be looked at
  Edges edges;        ///< seen by the watch
  Commands commands;  ///< so far; `phase` is where the sequence is

  friend constexpr bool operator==(const Progress&, const Progress&) = default;
};

/// The controller's logic: facts in, commands out, a few dozen bits of state. Copyable; a copy goes
/// on as the original would.
class Logic {
 public:
  /// As at power-up: tripped by `born_tripped_by` (power_up or watchdog_restart), everything
  /// withheld until a reset.
  explicit Logic(Options options, Cause born_tripped_by = Cause::power_up);

  /// One scan: begin() and then step after step, the rows of the trips in one go.
  Commands scan(const Facts& facts);

  [[nodiscard]] Progress begin() const;
  /// The next step of the scan that was begun, or the next row of the trips; not to be called when
  /// it is done. Facts must read the same in all steps of a scan.
  void step(Progress& progress, const Facts& facts);

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
  [[nodiscard]] RowSet trips_in(Phase phase) const;
  /// The next step; of the trips as many rows of the matrix as said.
  void go_on(Progress& progress, const Facts& facts, std::size_t rows);
  /// Any step but that of the trips.
  void take(Step step, Scan& scan);
  void tell(Commands& commands) const;

  Options options_;
  Memory memory_;
  Sequence sequence_;
};

}  // namespace ovenproof::logic
