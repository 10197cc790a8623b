#pragma once
#include <cstdint>
#include <vector>

#include "sim/campaign/injection.hpp"
#include "sim/campaign/mode.hpp"
#include "sim/campaign/nominal.hpp"

namespace ovenproof::campaign {

/// All instants at which anything may be injected, by what they are. Indices are into `all`.
struct Instants {
  std::vector<Instant> all;  ///< in the order of time, none twice
  /// Entry of each stretch of the cycles: one scan before it is seen, the scan in which it is seen,
  /// one after. Of the first stretch only the last two.
  std::vector<std::vector<std::size_t>> entries;
  std::vector<std::size_t> middles;  ///< of each stretch
  std::vector<std::size_t> random;

  /// Marks of the oven's state passed: the same mark and direction in each cycle.
  struct Marked {
    StateKind kind = StateKind::temperature;
    /// Modes take turns: heat rises as it is led, and positions pass in seconds.
    bool half_of_the_modes = false;
    std::vector<std::size_t> in_cycles;
  };
  std::vector<Marked> marked;
};

/// The instants of a nominal run. `random`: how many; they depend on `seed` alone.
Instants choose_instants(const Nominal& nominal, std::size_t random, std::uint64_t seed);

/// Which of the oven's states make a difference to what a mode does.
struct StatesOfMode {
  bool temperature = false;
  bool oxygen = false;
  bool position = false;
  [[nodiscard]] bool has(StateKind kind) const;
};
/// None if the mode begins slowly, or comes and goes: it meets many states by itself. Else by what
/// fails: readings of the temperature, what heats, moves heat and cuts heat off go by the
/// temperature; readings of oxygen by the oxygen; gas and enclosure by both, valves by positions,
/// too; contacts and coils by positions.
StatesOfMode states_of(const Mode& mode);

/// Which of the instants a mode gets, rising: every entry at one of its three scans, by turns, so
/// that modes share the three between them; the middles of every other stretch; then random ones,
/// and then what was left out, until there are `least`; and the marks of its states, each in one of
/// the cycles, by turns, of rising temperatures and positions every second.
std::vector<std::size_t> instants_of_mode(const Instants& instants, std::size_t mode,
                                          StatesOfMode states, std::size_t least);

}  // namespace ovenproof::campaign
