#include "firmware/logic/trips.hpp"

#include <bit>

namespace ovenproof::logic {
namespace {

/// Present for as long as the row's delay asks. Runs the delay's timer while it is present.
bool ripe(const Row& row, const Situation& situation, Scan& scan) {
  if (!row.condition.present(scan.facts, situation)) return false;
  if (row.delay == Timer::count) return true;
  scan.commands.timers |= bit(row.delay);
  return scan.facts.elapsed(row.delay);
}

/// Calls `look(row)` for each row of the set in the order of the matrix, until it returns true.
template <class Look>
bool any_of(RowSet rows, Look look) {
  for (; rows != 0; rows &= rows - 1) {
    if (look(matrix[static_cast<std::size_t>(std::countr_zero(rows))])) return true;
  }
  return false;
}

/// Takes the first row out of `left` and latches it if it is ripe.
inline void latch_next_of(RowSet& left, const Situation& situation, Scan& scan) {
  Memory& memory = scan.memory;
  const Row& row = matrix[static_cast<std::size_t>(std::countr_zero(left))];
  left &= left - 1;
  const bool tripped = memory.first_out != Cause::none;
  if (tripped && memory.latched.covers(row.withholds)) return;
  if (!ripe(row, situation, scan)) return;
  if (!tripped) memory.first_out = row.cause;
  memory.latched = memory.latched | row.withholds;
}

}  // namespace

Situation situation_of(const Scan& scan) {
  const Memory& memory = scan.memory;
  return {scan.phase, memory.energised, memory.gate_met, memory.repurges, scan.options};
}

void latch_next_trip(Scan& scan, RowSet& left) { latch_next_of(left, situation_of(scan), scan); }

void latch_trips(Scan& scan, RowSet left) {
  const Situation situation = situation_of(scan);  // latching changes nothing of it
  while (left != 0) latch_next_of(left, situation, scan);
}

bool trip_cause_present(const Facts& facts, const Situation& situation) {
  return any_of(rows_in(situation.phase, situation.options) & trip_rows,
                [&](const Row& row) { return row.condition.present(facts, situation); });
}

OutputSet withheld_of(OutputSet demanded, Scan& scan) {
  OutputSet withheld = scan.memory.latched;
  const Situation situation = situation_of(scan);
  any_of(rows_in(scan.phase, scan.options) & ~trip_rows, [&](const Row& row) {
    const bool decides = !(row.withholds & (demanded - withheld)).empty();
    if (decides && row.condition.present(scan.facts, situation))
      withheld = withheld | row.withholds;
    return false;
  });
  return demanded & withheld;
}

RowSet present_causes(const Facts& facts, const Situation& situation) {
  RowSet causes = 0;
  any_of(rows_in(situation.phase, situation.options), [&](const Row& row) {
    if (row.condition.present(facts, situation))
      causes |= RowSet{1} << static_cast<unsigned>(row.cause);
    return false;
  });
  return causes;
}

}  // namespace ovenproof::logic
