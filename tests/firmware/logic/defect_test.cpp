#include <set>
#include <string>
#include <utility>

#include <doctest/doctest.h>

#include "firmware/logic/matrix.hpp"
#include "judge.hpp"

/// The judge of the matrix is judged: this executable runs a logic whose matrix is a variable, one
/// defect at a time, and the judge must complain of each.
namespace ovenproof::logic {

/// In place of the one that ships, which was worked out of the constant matrix.
RowSet rows_in(Phase phase, OutputSet energised, const Options& options) {
  RowSet rows = 0;
  for (std::size_t i = 0; i < cause_count; ++i) {
    const bool fitted = (matrix[i].needs != Needs::oxygen_monitor || options.oxygen_monitor) &&
                        (matrix[i].needs != Needs::jacket_cooling || options.jacket_cooling);
    if (fitted && matrix[i].phases.has(phase) && matrix[i].condition.outputs_fit(energised))
      rows |= RowSet{1} << i;
  }
  return rows;
}

}  // namespace ovenproof::logic

using namespace ovenproof::logic;
using namespace ovenproof::logic::test;

namespace {

using Stages = std::map<Phase, Bench>;

const Stages& full_stages() {
  static const Stages stages = stages_of(full_options);
  return stages;
}

/// True if the judge complains of the row as `defect` has made it.
template <class Defect>
bool noticed(Row& row, Depth depth, Defect defect) {
  const Stages& stages = full_stages();  // built by the sound matrix, whichever test comes first
  const Row sound = row;
  defect(row);
  const bool complains = !judge_cause(sound.cause, stages, depth).empty();
  row = sound;
  return complains;
}

/// `phases` less one; itself if that would leave none.
PhaseSet without(PhaseSet phases, Phase left_out) {
  Phase other = left_out;
  for (std::size_t i = 0; i < phase_count; ++i) {
    const auto phase = static_cast<Phase>(i);
    if (phase != left_out && phases.has(phase)) other = phase;
  }
  const auto keep = [&](std::size_t i) {
    const auto phase = static_cast<Phase>(i);
    return phase != left_out && phases.has(phase) ? phase : other;
  };
  return [&]<std::size_t... i>(std::index_sequence<i...>) { return PhaseSet(keep(i)...); }
  (std::make_index_sequence<phase_count>());
}

std::string entry(const Row& row, const char* column) {
  return std::string(row.key) + " / " + column;
}

/// Cells, as "cause / output", whose loss no judgement at this depth notices.
std::set<std::string> unnoticed_cells(Depth depth) {
  std::set<std::string> cells;
  for (Row& row : matrix) {
    for (std::size_t i = 0; i < output_count; ++i) {
      const auto output = static_cast<Output>(i);
      if (!row.withholds.has(output)) continue;
      if (!noticed(row, depth, [output](Row& r) { r.withholds = r.withholds - OutputSet(output); }))
        cells.insert(entry(row, name_of(output)));
    }
  }
  return cells;
}

}  // namespace

TEST_CASE("a cell of the matrix that is lost is noticed, but where nothing could be lost with it") {
  std::set<std::string> idle;
  for (std::size_t i = 0; i < output_count; ++i) {
    const char* output = name_of(static_cast<Output>(i));
    // Nothing is demanded from power-up until a reset, and these rows never come later.
    idle.insert(entry(row_of(Cause::power_up), output));
    idle.insert(entry(row_of(Cause::watchdog_restart), output));
    // In the cycle the door trips before it inhibits; outside only the fan may be on, or the
    // blanket, and that ends with the door anyway.
    if (static_cast<Output>(i) != Output::fan) {
      idle.insert(entry(row_of(Cause::door_not_closed), output));
    }
  }
  CHECK(unnoticed_cells(Depth::with_memory) == idle);
}

TEST_CASE("these cells alone decide over an output, the others stand behind the sequence") {
  // A trip ends the cycle, so the sequence demands neither heat nor purge nor cooling air any more;
  // what only the matrix can take away is the fan's run-on, the gas of a hot load, and everything
  // that an inhibit stops without a trip.
  std::set<std::string> deciding;
  const auto decides = [&deciding](Cause cause, auto... outputs) {
    (deciding.insert(entry(row_of(cause), name_of(outputs))), ...);
  };
  using enum Output;
  for (const Cause cause :
       {Cause::settings_invalid, Cause::emergency_stop, Cause::door_contacts_disagree}) {
    decides(cause, fan, purge_valve, process_valve);
  }
  decides(Cause::process_flow_missing, process_valve);
  decides(Cause::purge_flow_unexpected, process_valve);
  decides(Cause::fan_not_proven, fan);
  decides(Cause::door_not_closed, fan);
  for (const Cause cause : {Cause::fan_not_running, Cause::gate_not_met, Cause::oxygen_above_hold,
                            Cause::process_flow_not_proven, Cause::oxygen_not_proven}) {
    decides(cause, k1, k2, heater_drive);
  }
  decides(Cause::purge_path_flowing, process_valve);
  decides(Cause::process_path_flowing, purge_valve);
  decides(Cause::damper_off_open_stop, blower);

  const std::set<std::string> unnoticed = unnoticed_cells(Depth::outputs_only);
  std::set<std::string> found;
  for (const Row& row : matrix) {
    for (std::size_t i = 0; i < output_count; ++i) {
      const auto output = static_cast<Output>(i);
      const std::string cell = entry(row, name_of(output));
      if (row.withholds.has(output) && !unnoticed.contains(cell)) found.insert(cell);
    }
  }
  for (const std::string& cell : found) CHECK_MESSAGE(deciding.contains(cell), cell, " decides");
  for (const std::string& cell : deciding) CHECK_MESSAGE(found.contains(cell), cell, " does not");
}

TEST_CASE("a row that is not looked at in a phase where its cause trips is noticed") {
  for (const TripExpectation& e : trip_expectations()) {
    Row& row = matrix[static_cast<std::size_t>(e.cause)];
    for (std::size_t i = 0; i < phase_count; ++i) {
      const auto phase = static_cast<Phase>(i);
      const bool matters = e.phases.has(phase) || (phase == Phase::tripped && e.refuses_reset);
      if (!matters) continue;
      CAPTURE(std::string(row.key));
      CAPTURE(text(phase));
      CHECK(noticed(row, Depth::outputs_only,
                    [phase](Row& r) { r.phases = without(r.phases, phase); }));
    }
  }
}

TEST_CASE("a delay that is lost, or another row's timer, is noticed") {
  for (Row& row : matrix) {
    if (row.delay == Timer::count) continue;
    CAPTURE(std::string(row.key));
    CHECK(noticed(row, Depth::outputs_only, [](Row& r) { r.delay = Timer::count; }));
    CHECK(noticed(row, Depth::outputs_only, [](Row& r) {
      r.delay = static_cast<Timer>((static_cast<unsigned>(r.delay) + 1) % timer_count);
    }));
  }
}

TEST_CASE("a condition that is never or always there is noticed") {
  for (Row& row : matrix) {
    CAPTURE(std::string(row.key));
    const bool by_birth = row.cause == Cause::power_up || row.cause == Cause::watchdog_restart;
    const bool by_time = row.cause == Cause::gate_not_met_in_time ||
                         row.cause == Cause::heating_not_done_in_time ||
                         row.cause == Cause::cooling_not_done_in_time;
    const auto never = [](const Facts&, const Situation&) { return false; };
    const auto always = [](const Facts&, const Situation&) { return true; };
    if (!by_birth)
      CHECK(noticed(row, Depth::outputs_only,
                    [never](Row& r) { r.condition = {.otherwise = never}; }));
    if (!by_time)
      CHECK(noticed(row, Depth::outputs_only,
                    [always](Row& r) { r.condition = {.otherwise = always}; }));
  }
}

TEST_CASE("the judge does not complain of the matrix as it is") {
  for (const Row& row : matrix) {
    CHECK(judge_cause(row.cause, full_stages(), Depth::with_memory).empty());
  }
}
