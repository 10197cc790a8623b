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

}  // namespace

Logic::Logic(Options options, Cause born_tripped_by) : options_(options) {
  if (options_.max_repurges > 3) options_.max_repurges = 3;  // as far as the memory counts
  memory_.first_out = born_tripped_by;
}

Commands Logic::scan(const Facts& facts) {
  Commands commands;
  Scan scan{facts, options_, memory_, sequence_.phase(), commands};

  latch_trips(scan);
  if (memory_.first_out != Cause::none) sequence_.send(Protect{scan});
  scan.phase = sequence_.phase();
  sequence_.send(Interrupt{scan});
  scan.phase = sequence_.phase();
  sequence_.send(Advance{scan});
  scan.phase = sequence_.phase();
  settle_memory(scan);
  sequence_.send(Actuate{scan});

  const OutputSet demand = demanded_by(sequence_, scan.phase);
  remember_outputs(scan, demand, withheld_of(demand, scan));

  commands.outputs = memory_.energised;
  commands.phase = scan.phase;
  commands.gas = sequence_.gas_path();
  commands.fan = sequence_.fan_state();
  commands.jacket = sequence_.jacket_state();
  commands.first_out = memory_.first_out;
  commands.armed = memory_.armed;
  commands.count_purge = purge_flow_phases.has(scan.phase) &&
                         memory_.energised.has(Output::purge_valve) &&
                         commands.fan == FanState::proven;
  return commands;
}

std::uint64_t Logic::present_causes(const Facts& facts) const {
  return logic::present_causes(facts, Situation{sequence_.phase(), memory_.energised,
                                                memory_.gate_met, memory_.repurges, options_});
}

}  // namespace ovenproof::logic
