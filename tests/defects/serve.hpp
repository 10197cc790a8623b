#pragma once
#include <string>
#include <vector>

namespace ovenproof::defects {

/// Reads the library, brings sound ovens to all beginnings, and writes a line with the names of all
/// items. Then, for each line on standard input, forks a process in which one defect is awake,
/// plays items in it until the first one fails, and writes a line on what came of it.
///
/// In:  {"defect": 5, "limit_s": 60, "items": [3, 1], "own_beginning": [false, true]}
///      `own_beginning`: the defect makes a difference on the way there already, so the oven has to
///      come there with it. `limit_s` is of processor time.
///      With "brief": true it wakes only where each item begins, whatever `own_beginning` says.
///      With "beside": 7, defect 7 is awake as well, and a failure counts only if the item does not
///      fail in the same way with defect 7 alone. For defects of the matrix, from sound beginnings.
///      With "alone": true, too, for a cell: no row of the other kind (trip or inhibit) than its
///      own withholds anything, with or without the defect.
/// Out: {"defect": 5, "end": "killed", "item": 3, "by": "expectation", "why": "..."}
///      end: killed (an item failed), survived, crashed, overdue, lost. Only the first is a kill.
void serve(const std::vector<std::string>& paths);

}  // namespace ovenproof::defects
