#include "firmware/logic/trips.hpp"

#include <bit>

namespace ovenproof::logic {
namespace {

/// Present for as long as the row's delay asks. Runs the delay's timer while it is present.
inline bool ripe(const Row& row, const Situation& situation, const Facts& facts, TimerSet& timers) {
  if (!row.condition.holds(facts, situation)) return false;
  if (row.delay == Timer::count) return true;
  timers |= bit(row.delay);
  return facts.elapsed(row.delay);
}

/// Calls `look(row)` for each row of the set in the order of the matrix, until it returns true.
template <class Look>
bool any_of(RowSet rows, Look look) {
  for (; rows != 0; rows &= rows - 1) {
    if (look(matrix[static_cast<std::size_t>(std::countr_zero(rows))])) return true;
  }
  return false;
}

/// The rows that may be present now.
RowSet rows_in(const Situation& situation) {
  return logic::rows_in(situation.phase, situation.energised, situation.options);
}

}  // namespace

Situation situation_of(const View& view) {
  const Memory& memory = view.memory;
  return {view.phase, memory.energised, memory.gate_met, memory.repurges, view.options};
}

void latch_trips(Scan& scan, RowSet& left, std::size_t at_most) {
  const Situation situation = situation_of(scan.view());  // latching changes nothing of it
  const Facts facts = scan.facts;
  Memory& memory = scan.memory;
  RowSet rows = left;
  TimerSet timers = scan.commands.timers;
  for (; rows != 0 && at_most != 0; rows &= rows - 1, --at_most) {
    const Row& row = matrix[static_cast<std::size_t>(std::countr_zero(rows))];
    const bool tripped = memory.first_out != Cause::none;
    if (tripped && memory.latched.covers(row.withholds)) continue;
    if (!ripe(row, situation, facts, timers)) continue;
    if (!tripped) memory.first_out = row.cause;
    memory.latched = memory.latched | row.withholds;
  }
  left = rows;
  scan.commands.timers = timers;
}

bool trip_cause_present(const Facts& facts, const Situation& situation) {
  return any_of(rows_in(situation) & trip_rows,
                [&](const Row& row) { return row.condition.holds(facts, situation); });
}

OutputSet withheld_of(OutputSet demanded, Scan& scan) {
  if (demanded.empty()) return demanded;
  OutputSet withheld = scan.memory.latched;
  const Situation situation = situation_of(scan.view());
  any_of(rows_in(situation) & ~trip_rows, [&](const Row& row) {
    const bool decides = !(row.withholds & (demanded - withheld)).empty();
    if (decides && row.condition.holds(scan.facts, situation)) withheld = withheld | row.withholds;
    return false;
  });
  return demanded & withheld;
}

RowSet present_causes(const Facts& facts, const Situation& situation) {
  RowSet causes = 0;
  any_of(rows_in(situation), [&](const Row& row) {
    if (row.condition.holds(facts, situation))
      causes |= RowSet{1} << static_cast<unsigned>(row.cause);
    return false;
  });
  return causes;
}

}  // namespace ovenproof::logic
