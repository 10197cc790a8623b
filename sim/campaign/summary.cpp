#include "sim/campaign/summary.hpp"

#include <algorithm>

namespace ovenproof::campaign {
namespace {

mock::VirtualMs longest(const Result& result) {
  mock::VirtualMs ms = 0;
  for (const HazardHit& hit : result.hazards) ms = std::max(ms, hit.lasted_ms);
  return ms;
}

mock::VirtualMs reaction(const Result& result) {
  return result.detection ? result.detection->reaction_ms : 0;
}

void count(const Result& result, ModeSummary& summary) {
  ++summary.injections;
  ++summary.outcomes[static_cast<std::size_t>(result.outcome)];
  if (!summary.worst || worse(result, *summary.worst)) summary.worst = result;
  if (!result.detection) return;
  summary.slowest_reaction_ms =
      std::max(summary.slowest_reaction_ms.value_or(0), result.detection->reaction_ms);
  if (result.detection->first_out_right) return;
  ++summary.wrong_first_outs;
  if (!summary.wrong_first_out || result.number < summary.wrong_first_out->number) {
    summary.wrong_first_out = result;
  }
}

}  // namespace

bool worse(const Result& a, const Result& b) {
  if (a.outcome != b.outcome) return a.outcome < b.outcome;
  if (a.hazards.size() != b.hazards.size()) return a.hazards.size() > b.hazards.size();
  if (longest(a) != longest(b)) return longest(a) > longest(b);
  if (reaction(a) != reaction(b)) return reaction(a) > reaction(b);
  return a.number < b.number;
}

std::vector<ModeSummary> summarize(const Plan& plan, std::span<const Result> results) {
  std::vector<ModeSummary> all(plan.modes.size());
  for (std::size_t i = 0; i < all.size(); ++i) all[i].mode = i;
  for (const Result& result : results) {
    if (result.number < plan.singles) count(result, all[plan.injections[result.number].mode]);
  }
  return all;
}

}  // namespace ovenproof::campaign
