#include "firmware/logic/logic.hpp"

#include "firmware/logic/decisions.hpp"
#include "firmware/logic/trips.hpp"

namespace ovenproof::logic {
namespace {

/// What the states ask for; the matrix has yet to permit it.
OutputSet demanded_by(const Sequence& sequence, Phase phase) {
  OutputSet demand;
  const auto ask = [&demand](auto... outputs) { demand = demand | OutputSet(outputs...); };

  if (heating.has(phase)) ask(Output::k1, Output::k2, Output::heater_drive);
  if (sequence.fan_state() != FanState::off) ask(Output::fan);

  const GasPath path = sequence.gas_path();
  if (path == GasPath::purge) ask(Output::purge_valve);
  if (path == GasPath::process) ask(Output::process_valve);

  const JacketState jacket = sequence.jacket_state();
  if (jacket == JacketState::opening || jacket == JacketState::open) ask(Output::damper);
  if (jacket == JacketState::open) ask(Output::blower);
  return demand;
}

constexpr Step after(Step step) { return static_cast<Step>(static_cast<unsigned>(step) + 1); }

}  // namespace

Logic::Logic(Options options, Cause born_tripped_by) : options_(options) {
  if (options_.max_repurges > 3) options_.max_repurges = 3;  // as far as the memory counts
  memory_.first_out = born_tripped_by;
}

Progress Logic::begin() const {
  Progress progress;
  progress.commands.phase = sequence_.phase();
  progress.trips = trips_in(progress.commands.phase);
  return progress;
}

RowSet Logic::trips_in(Phase phase) const {
  return rows_in(phase, memory_.energised, options_) & trip_rows;
}

inline void Logic::take(Step step, Scan& scan) {
  Commands& commands = scan.commands;
  switch (step) {
    case Step::interrupt:
      if (memory_.first_out != Cause::none) {
        sequence_.send(Protect{scan});
        scan.phase = sequence_.phase();
      }
      sequence_.send(Interrupt{scan});
      break;
    case Step::watch:
      watch_contacts(scan);
      return time_gate_hold(scan);
    case Step::advance:
      sequence_.send(Advance{scan});
      break;
    case Step::settle:
      return settle_memory(scan);
    case Step::actuate:
      time_changeover(scan, sequence_.gas_path());
      return sequence_.send(Actuate{scan});
    default: {
      const OutputSet demand = demanded_by(sequence_, scan.phase);
      remember_outputs(scan, demand, withheld_of(demand, scan));
      return tell(commands);
    }
  }
  commands.phase = sequence_.phase();
}

inline void Logic::go_on(Progress& progress, const Facts& facts, std::size_t rows) {
  Scan scan{facts, options_, memory_, progress.commands.phase, progress.commands, progress.edges};
  if (progress.next == Step::trips) {
    latch_trips(scan, progress.trips, rows);
    if (progress.trips != 0) return;
  } else {
    take(progress.next, scan);
    progress.edges = scan.edges;
  }
  progress.next = after(progress.next);
}

void Logic::step(Progress& progress, const Facts& facts) { go_on(progress, facts, 1); }

Commands Logic::scan(const Facts& facts) {
  Progress progress = begin();
  while (progress.next != Step::done) go_on(progress, facts, first_inhibit);
  return progress.commands;
}

void Logic::tell(Commands& commands) const {
  commands.outputs = memory_.energised;
  commands.gas = sequence_.gas_path();
  commands.fan = sequence_.fan_state();
  commands.jacket = sequence_.jacket_state();
  commands.first_out = memory_.first_out;
  commands.armed = memory_.armed;
  commands.count_purge = purge_flow_phases.has(commands.phase) &&
                         memory_.energised.has(Output::purge_valve) &&
                         commands.fan == FanState::proven;
}

std::uint64_t Logic::present_causes(const Facts& facts) const {
  return logic::present_causes(facts, Situation{sequence_.phase(), memory_.energised,
                                                memory_.gate_met, memory_.repurges, options_});
}

}  // namespace ovenproof::logic
