#include "sim/prove/signals.hpp"

#include <string>
#include <vector>

namespace ovenproof::prove {
namespace {

using namespace logic;

template <class Named>
std::vector<std::string> names(std::size_t count) {
  std::vector<std::string> all;
  for (std::size_t i = 0; i < count; ++i) all.emplace_back(name_of(static_cast<Named>(i)));
  return all;
}

std::vector<std::string> cause_keys() {
  std::vector<std::string> keys;
  for (const Row& row : matrix) keys.emplace_back(row.key);
  keys.emplace_back("none");
  return keys;
}

properties::SignalTable make_table() {
  properties::SignalTable table;
  for (std::size_t i = 0; i < fact_count; ++i) {
    table.add_boolean(std::string("fact.") + name_of(static_cast<Fact>(i)),
                      "what the logic is told");
  }
  table.add_state("phase", names<Phase>(phase_count), "state of the sequence");
  table.add_state("gas_path", names<GasPath>(3), "gas routing");
  table.add_state("fan_state", names<FanState>(4), "circulation fan");
  table.add_state("jacket_state", names<JacketState>(4), "jacket cooling");
  table.add_state("first_out", cause_keys(), "the cause that came first; none: not tripped");
  table.add_boolean("armed", "closing the door would start a cycle");
  for (std::size_t i = 0; i < output_count; ++i) {
    table.add_boolean(std::string("command.") + name_of(static_cast<Output>(i)), "energised");
  }
  table.add_boolean("command.count_purge", "volume changes are counted");
  table.add_boolean("command.acknowledge", "a reset was accepted");
  table.add_boolean("command.programme_restart", "a new cycle begins");
  table.add_boolean("command.programme_advance", "the next segment begins");
  table.add_boolean("answer.as_remembered", "the commands say what the logic remembers");
  table.add_boolean("answer.timers_run", "every timer looked at was commanded to run");
  table.add_boolean("option.oxygen_monitor", "the machine has an oxygen monitor");
  table.add_boolean("option.jacket_cooling", "the machine has forced jacket cooling");
  table.add_boolean("option.start_by_door", "closing the door may start a cycle");
  return table;
}

}  // namespace

bool as_remembered(const LogicState& after, const Commands& commands) {
  return commands.outputs == after.memory.energised && commands.phase == after.places.phase &&
         commands.gas == after.places.gas && commands.fan == after.places.fan &&
         commands.jacket == after.places.jacket && commands.first_out == after.memory.first_out &&
         commands.armed == after.memory.armed;
}

bool timers_run(const Commands& commands, FactSet looked_at) {
  return ((looked_at >> plain_fact_count) & ~FactSet{commands.timers} &
          ((FactSet{1} << timer_count) - 1)) == 0;
}

Answer answer_of(const LogicState& after, const Commands& commands, FactSet looked_at) {
  return {pack(after),
          commands.programme_restart,
          commands.programme_advance,
          commands.count_purge,
          commands.acknowledge,
          as_remembered(after, commands),
          timers_run(commands, looked_at)};
}

ToldValues told_by(const Answer& answer, const Options& options) {
  const LogicState state = unpack(answer.state);
  ToldValues values{};
  const auto set = [&values](Told signal, auto value) {
    values[static_cast<std::size_t>(signal)] = static_cast<std::uint8_t>(value);
  };
  set(Told::phase, state.places.phase);
  set(Told::gas_path, state.places.gas);
  set(Told::fan_state, state.places.fan);
  set(Told::jacket_state, state.places.jacket);
  set(Told::first_out, state.memory.first_out);
  set(Told::armed, state.memory.armed);
  for (std::size_t i = 0; i < output_count; ++i) {
    values[static_cast<std::size_t>(Told::k1) + i] =
        state.memory.energised.has(static_cast<Output>(i)) ? 1 : 0;
  }
  set(Told::count_purge, answer.count_purge);
  set(Told::acknowledge, answer.acknowledge);
  set(Told::programme_restart, answer.programme_restart);
  set(Told::programme_advance, answer.programme_advance);
  set(Told::as_remembered, answer.as_remembered);
  set(Told::timers_run, answer.timers_run);
  set(Told::oxygen_monitor, options.oxygen_monitor);
  set(Told::jacket_cooling, options.jacket_cooling);
  set(Told::start_by_door, options.start_by_door);
  return values;
}

const properties::SignalTable& signal_table() {
  static const properties::SignalTable table = make_table();
  return table;
}

}  // namespace ovenproof::prove
