#include "sim/campaign/pair_findings.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "sim/campaign/conditions.hpp"
#include "sim/campaign/summary.hpp"

namespace ovenproof::campaign {
namespace {

using Hazards = std::set<std::uint8_t>;

Hazards hazards_of(const Result& result) {
  Hazards all;
  for (const HazardHit& hit : result.hazards) all.insert(hit.hazard);
  return all;
}

/// What came of failures and demands alone.
struct Alone {
  std::map<std::size_t, Hazards> of_mode;
  std::map<std::pair<std::size_t, std::size_t>, Hazards> of_demand;  ///< at an instant
};

Alone alone_in(const Plan& plan, std::span<const Result> results) {
  Alone alone;
  for (const Result& result : results) {
    const Injection& injection = plan.injections[result.number];
    if (!injection.second) {
      alone.of_mode[injection.mode].merge(hazards_of(result));
    } else if (injection.second->demand &&
               (result.touched & woken_by(first_of(plan, injection).realisation)) == 0) {
      alone.of_demand[{injection.second->mode, injection.second->instant}] = hazards_of(result);
    }
  }
  return alone;
}

bool has(const auto& map, const auto& key, std::uint8_t hazard) {
  const auto found = map.find(key);
  return found != map.end() && found->second.contains(hazard);
}

}  // namespace

std::vector<Result> pair_findings(const Plan& plan, std::span<const Result> results) {
  const Alone alone = alone_in(plan, results);
  std::map<std::tuple<std::size_t, bool, std::size_t>, Result> worst;
  for (const Result& result : results) {
    const Injection& injection = plan.injections[result.number];
    if (!injection.second) continue;
    const Injection::Second& second = *injection.second;
    Result finding = result;
    std::erase_if(finding.hazards, [&](const HazardHit& hit) {
      return has(alone.of_mode, injection.mode, hit.hazard) ||
             (second.demand
                  ? has(alone.of_demand, std::pair(second.mode, second.instant), hit.hazard)
                  : has(alone.of_mode, second.mode, hit.hazard));
    });
    if (finding.hazards.empty()) continue;
    const auto key = std::tuple(injection.mode, second.demand, second.mode);
    const auto [place, fresh] = worst.emplace(key, finding);
    if (!fresh && worse(finding, place->second)) place->second = finding;
  }
  std::vector<Result> all;
  for (auto& [key, result] : worst) all.push_back(std::move(result));
  return all;
}

}  // namespace ovenproof::campaign
