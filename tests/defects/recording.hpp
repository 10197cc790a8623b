#pragma once
#include <vector>

namespace ovenproof::defects {

/// Wakes a defect, or none, or begins recording. What has run so far was as it ships.
void select(int place);

/// Breaks the matrix, and nothing else of it, in addition to whatever else is awake; for defects of
/// the matrix, and `none`.
///
/// `alone`: a cell of the matrix. Of the other kind than its row, trip or inhibit, no row withholds
/// anything then.
void break_also(int place, int alone = 0);

/// No trip withholds anything any more: the rows that only inhibit are left.
void leave_out_trips();

/// Has the matrix note which of its cells would make a difference beside the defect that is awake.
void note_the_matrix();

/// While recording: forgets which defects would have made a difference.
void forget_differences();
/// The places whose defects would have made a difference since `forget_differences`, rising.
std::vector<int> places_that_differ();
/// The places that were come to since the program began, rising.
std::vector<int> places_reached();

}  // namespace ovenproof::defects
