#pragma once
#include <array>
#include <cstdint>

#include "firmware/logic/logic.hpp"
#include "sim/properties/signal_table.hpp"
#include "sim/prove/adversary.hpp"
#include "sim/prove/packed_state.hpp"

/// The words in which what is to be proved is said: facts, commands, states and options.
namespace ovenproof::prove {

/// What one scan answered, as far as a property can refer to it: everything but the timers, which
/// are part of the way there (ScanGraph::Branch::runs).
struct Answer {
  std::uint64_t state = 0;  ///< pack() of the logic after the scan
  bool programme_restart = false;
  bool programme_advance = false;
  bool count_purge = false;
  bool acknowledge = false;
  bool as_remembered = true;  ///< outputs, places, first-out and arming are those of `state`
  bool timers_run = true;     ///< every timer that was looked at was commanded to run
  bool as_explored = true;    ///< Logic::scan() does what its steps do

  friend constexpr bool operator==(const Answer&, const Answer&) = default;
};

/// `looked_at`: all facts that the logic looked at in the scan.
[[nodiscard]] Answer answer_of(const logic::LogicState& after, const logic::Commands& commands,
                               FactSet looked_at);

/// Whether the commands say of outputs, places, first-out and arming what the logic remembers.
[[nodiscard]] bool as_remembered(const logic::LogicState& after, const logic::Commands& commands);
/// Whether the commands run every timer among the facts.
[[nodiscard]] bool timers_run(const logic::Commands& commands, FactSet looked_at);

/// Signals of the table that are no facts, in its order after the facts.
enum class Told : std::uint8_t {
  phase,
  gas_path,
  fan_state,
  jacket_state,
  first_out,
  armed,
  k1,  ///< the outputs, in the order of logic::Output
  count_purge = k1 + logic::output_count,
  acknowledge,
  programme_restart,
  programme_advance,
  as_remembered,
  timers_run,
  as_explored,
  oxygen_monitor,
  jacket_cooling,
  start_by_door,
  count
};
inline constexpr std::size_t told_count = static_cast<std::size_t>(Told::count);

/// Value of each signal that is no fact: 0 or 1, or the index of a label.
using ToldValues = std::array<std::uint8_t, told_count>;
[[nodiscard]] ToldValues told_by(const Answer& answer, const logic::Options& options);

/// Whether the signal can be told from the logic's state alone.
constexpr bool is_kept(Told signal) {
  return signal < Told::count_purge || signal >= Told::oxygen_monitor;
}

/// Column of a timer's signal: they stand behind the facts and all that is told.
inline constexpr std::size_t first_timer_signal = logic::fact_count + told_count;

/// `fact.door_closed` and all other facts in their order (column n is Fact n), then `phase`,
/// `gas_path`, `fan_state`, `jacket_state`, `first_out`, `armed`, `command.k1` and so on,
/// `option.oxygen_monitor` and so on in the order of Told, and `timer.gate_hold` and so on: the
/// timer is commanded to run in this scan.
[[nodiscard]] const properties::SignalTable& signal_table();

}  // namespace ovenproof::prove
