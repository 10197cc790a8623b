#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/prove/benign_oven.hpp"
#include "sim/prove/explorer.hpp"

/// Whether the oven always comes back. An adversary who lets timers elapse as he likes also helps,
/// so this is asked of a healthy oven with real durations, from every state that the adversary can
/// bring the logic to.
namespace ovenproof::prove {

/// A state from which what was wanted does not come.
struct Stuck {
  std::uint64_t from = 0;  ///< packed
  std::string wanted;      ///< "standby", "unloading"
  std::uint64_t after_ms = 0;
  logic::LogicState at;  ///< where it was then
};

struct Recovery {
  std::size_t states = 0;              ///< of the logic, from which it was tried
  std::uint64_t longest_ms = 0;        ///< until standby
  std::uint64_t longest_cycle_ms = 0;  ///< until unloading
  std::size_t cycles = 0;              ///< states of a running cycle
  std::uint64_t scans = 0;
  std::optional<Stuck> stuck;  ///< the first, by number
};

/// From every state explored, with all causes gone: standby with nothing energised is reached when
/// the attendant resets and stops; and a running cycle that is left alone reaches unloading or, if
/// it trips or was to be ended, standby.
[[nodiscard]] Recovery recover(const logic::Options& options, const Durations& durations,
                               const StateStore& states);

}  // namespace ovenproof::prove
