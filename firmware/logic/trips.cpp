#include "firmware/logic/trips.hpp"

namespace ovenproof::logic {
namespace {

/// Present for as long as the row's delay asks. Runs the delay's timer while it is present.
bool ripe(const Row& row, const Situation& situation, Scan& scan) {
  if (!row.present(scan.facts, situation)) return false;
  if (row.delay == Timer::count) return true;
  scan.commands.timers |= bit(row.delay);
  return scan.facts.elapsed(row.delay);
}

}  // namespace

Situation situation_of(const Scan& scan) {
  const Memory& memory = scan.memory;
  return {scan.phase, memory.energised, memory.gate_met, memory.repurges, scan.options};
}

void latch_trips(Scan& scan) {
  Memory& memory = scan.memory;
  const Situation situation = situation_of(scan);
  for (std::size_t i = 0; i < first_inhibit; ++i) {
    const Row& row = matrix[i];
    const bool tripped = memory.first_out != Cause::none;
    if (tripped && memory.latched.covers(row.withholds)) continue;
    if (!applies(row, situation) || !ripe(row, situation, scan)) continue;
    if (!tripped) memory.first_out = row.cause;
    memory.latched = memory.latched | row.withholds;
  }
}

bool trip_cause_present(const Facts& facts, const Situation& situation) {
  for (std::size_t i = 0; i < first_inhibit; ++i) {
    const Row& row = matrix[i];
    if (applies(row, situation) && row.present(facts, situation)) return true;
  }
  return false;
}

OutputSet withheld_of(OutputSet demanded, Scan& scan) {
  OutputSet withheld = scan.memory.latched;
  const Situation situation = situation_of(scan);
  for (std::size_t i = first_inhibit; i < cause_count; ++i) {
    const Row& row = matrix[i];
    if ((row.withholds & (demanded - withheld)).empty()) continue;
    if (applies(row, situation) && row.present(scan.facts, situation)) {
      withheld = withheld | row.withholds;
    }
  }
  return demanded & withheld;
}

std::uint64_t present_causes(const Facts& facts, const Situation& situation) {
  static_assert(cause_count <= 64);
  std::uint64_t causes = 0;
  for (std::size_t i = 0; i < cause_count; ++i) {
    const Row& row = matrix[i];
    if (applies(row, situation) && row.present(facts, situation)) causes |= std::uint64_t{1} << i;
  }
  return causes;
}

}  // namespace ovenproof::logic
