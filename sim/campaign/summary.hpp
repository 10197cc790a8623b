#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "sim/campaign/plan.hpp"
#include "sim/campaign/result.hpp"

namespace ovenproof::campaign {

/// One failure mode over all places at which it was injected.
struct ModeSummary {
  std::size_t mode = 0;  ///< in the plan
  std::uint32_t injections = 0;
  std::array<std::uint32_t, static_cast<std::size_t>(Outcome::count)> outcomes{};
  std::uint32_t wrong_first_outs = 0;
  std::optional<Result> worst;            ///< nothing if there is no result
  std::optional<Result> wrong_first_out;  ///< the first of them
  /// Slowest reaction of those that noticed.
  std::optional<mock::VirtualMs> slowest_reaction_ms;
};

/// Strict order of badness, the same for any order of results: by outcome, then by how long the
/// hazards lasted or how slow the reaction was, then by number.
bool worse(const Result& a, const Result& b);

/// Single failures by mode, in the order of the plan. Results may come in any order, and of some
/// injections only.
std::vector<ModeSummary> summarize(const Plan& plan, std::span<const Result> results);

}  // namespace ovenproof::campaign
