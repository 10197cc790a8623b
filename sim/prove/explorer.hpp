#pragma once
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "firmware/logic/logic.hpp"
#include "sim/prove/coverage.hpp"
#include "sim/prove/expansion.hpp"
#include "sim/prove/history.hpp"
#include "sim/prove/state_store.hpp"

/// Breadth-first exploration of everything the logic can come to, whatever the facts are.
namespace ovenproof::prove {

struct Limits {
  unsigned jobs = 1;                                ///< threads
  std::size_t memory_bytes = std::size_t{2} << 30;  ///< for the states found
  bool stop_at_violation = false;                   ///< go no further once any property is violated
};

/// What became of one property.
struct Judgement {
  /// Premises, as they are written in it, that never held: what stands behind them shows nothing.
  std::vector<std::string> never_met;
  std::optional<StateStore::Index>
      violated;  ///< first state, by number, with a scan that violates it

  [[nodiscard]] bool premise_met() const { return never_met.empty(); }
};

struct Exploration {
  bool complete = false;    ///< false: stopped, or memory ran out; what was not refuted is open
  bool merged = false;      ///< states that differ only in first-outs that are alike counted as one
  bool as_explored = true;  ///< Logic::scan() did what its steps do, wherever it was tried
  StateStore states;
  std::uint64_t scans = 0;        ///< that differ in what the logic looked at or saw
  std::uint64_t steps = 0;        ///< of the logic that were run for them
  std::uint64_t transitions = 0;  ///< answers of the logic that were judged, each once for a state
  unsigned depth = 0;             ///< scans from power-up to the farthest state
  std::size_t peak_bytes = 0;
  std::vector<Judgement> properties;
  Coverage coverage;
};

/// The states in which the logic can be born.
[[nodiscard]] std::vector<std::uint64_t> births(const logic::Options& options);

/// Explores from all births. States are numbered in breadth-first order, so the first violation is
/// one of the shortest; the result does not depend on the number of threads.
[[nodiscard]] Exploration explore(const Subject& subject, const Histories& histories,
                                  const Limits& limits);

}  // namespace ovenproof::prove
