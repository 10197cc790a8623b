#pragma once
#include <span>
#include <vector>

#include "sim/campaign/plan.hpp"
#include "sim/campaign/result.hpp"

namespace ovenproof::campaign {

/// Pairs that come to a hazard to which neither of the two comes alone: of each two the worst
/// result, with those hazards only. `results` are of single failures and of pairs, in any order.
///
/// What a demand comes to alone is what it comes to beside a failure that nothing wakes: where
/// there is no such pair, all hazards count.
std::vector<Result> pair_findings(const Plan& plan, std::span<const Result> results);

}  // namespace ovenproof::campaign
