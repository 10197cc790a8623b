#pragma once
#include "firmware/logic/matrix.hpp"
#include "firmware/logic/scan.hpp"

/// Evaluation of the matrix.
namespace ovenproof::logic {

/// The part of the logic's past that matrix conditions may see.
Situation situation_of(const View& view);

/// Takes up to `at_most` rows out of `left`, the trips to look at in the order of the matrix, and
/// latches what each withholds if it is ripe; the first one becomes the first-out. A trip that
/// would withhold nothing beyond what is latched already is not looked at.
void latch_trips(Scan& scan, RowSet& left, std::size_t at_most);

/// True if the condition of any trip is present, its delay not waited for. Delayed conditions must
/// be gone altogether before a reset, not merely not yet ripe.
bool trip_cause_present(const Facts& facts, const Situation& situation);

/// Of what is demanded, what the latches and the inhibits withhold now.
OutputSet withheld_of(OutputSet demanded, Scan& scan);

/// Every cause present now, bit n for Cause n, delays not waited for: for the alarm list, not for
/// decisions.
RowSet present_causes(const Facts& facts, const Situation& situation);

}  // namespace ovenproof::logic
