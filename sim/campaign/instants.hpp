#pragma once
#include <cstdint>
#include <vector>

#include "sim/campaign/injection.hpp"
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
};

/// The instants of a nominal run. `random`: how many; they depend on `seed` alone.
Instants choose_instants(const Nominal& nominal, std::size_t random, std::uint64_t seed);

/// Which of them a mode gets, rising: every entry at one of its three scans, by turns, so that
/// modes share the three between them; the middles of every other stretch; then random ones, and
/// then what was left out, until there are `least`.
std::vector<std::size_t> instants_of_mode(const Instants& instants, std::size_t mode,
                                          std::size_t least);

}  // namespace ovenproof::campaign
