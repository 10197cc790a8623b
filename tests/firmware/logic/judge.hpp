#pragma once
#include <map>
#include <string>
#include <vector>

#include "trip_table.hpp"

/// Judges a logic against the expectations. Complaints are data and not assertions, so that the
/// same judge can be tried on a logic with a defect and must then complain.
namespace ovenproof::logic::test {

using Complaints = std::vector<std::string>;

enum class Depth {
  outputs_only,  ///< what a relay would do
  with_memory    ///< and what the logic holds latched for later
};

/// A bench for each phase that this machine reaches.
std::map<Phase, Bench> stages_of(Options options);

/// The cause comes in `phase`, lasts, goes, and is reset.
Complaints judge_trip(const TripExpectation& expected, Phase phase, const Bench& start,
                      Depth depth);
/// The cause comes in a phase where it must not trip, or on a machine that does not have it.
Complaints judge_no_trip(const TripExpectation& expected, Phase phase, const Bench& start);
/// The cause is there while the logic is tripped by power-up: reset must wait for it, or not.
Complaints judge_reset_waits(const TripExpectation& expected, const Bench& start);
Complaints judge_inhibit(const InhibitExpectation& expected, Phase phase, const Bench& start);

/// Nothing is wrong: the cause must not show.
Complaints judge_health(Cause cause, Phase phase, const Bench& start);
/// The gate does not come within purge_timeout, or heating does not end within heating_timeout.
Complaints judge_timeout(Cause cause, Phase phase, const Bench& start, Depth depth);
/// The inert gas is lost once more than allowed, in `phase`.
Complaints judge_repurge_limit(Phase phase, const Bench& start, Depth depth);
/// Born tripped: nothing moves until a fresh reset.
Complaints judge_birth(Cause born);

/// Everything that is expected of one cause on the machine whose benches these are.
Complaints judge_cause(Cause cause, const std::map<Phase, Bench>& stages, Depth depth);

std::string text_of(OutputSet outputs);

}  // namespace ovenproof::logic::test
