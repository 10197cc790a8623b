#pragma once
#include <vector>

namespace ovenproof::defects {

/// Wakes a defect, or none, or begins recording: from here on the firmware of this process is so.
/// To be called once, before any firmware runs.
void select(int place);

/// While recording: forgets which defects would have made a difference.
void forget_differences();
/// The places whose defects would have made a difference since `forget_differences`, rising.
std::vector<int> places_that_differ();
/// The places that were come to since the program began, rising.
std::vector<int> places_reached();

}  // namespace ovenproof::defects
