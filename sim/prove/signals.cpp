#include "sim/prove/signals.hpp"

#include <stdexcept>
#include <string>
#include <utility>
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

/// The signals that are no facts and no timers. Each is named with its place in Told.
void add_told(properties::SignalTable& table) {
  const auto at = [&table](Told told) {
    if (table.signals().size() != fact_count + static_cast<std::size_t>(told)) {
      throw std::logic_error("a signal is not in the order of Told");
    }
  };
  const auto state = [&](Told told, const char* name, std::vector<std::string> labels,
                         const char* what) {
    at(told);
    table.add_state(name, std::move(labels), what);
  };
  const auto boolean = [&](Told told, const std::string& name, const char* what) {
    at(told);
    table.add_boolean(name, what);
  };
  state(Told::phase, "phase", names<Phase>(phase_count), "state of the sequence");
  state(Told::gas_path, "gas_path", names<GasPath>(gas_path_count), "gas routing");
  state(Told::fan_state, "fan_state", names<FanState>(fan_state_count), "circulation fan");
  state(Told::jacket_state, "jacket_state", names<JacketState>(jacket_state_count),
        "jacket cooling");
  state(Told::first_out, "first_out", cause_keys(), "the cause that came first; none: not tripped");
  boolean(Told::armed, "armed", "closing the door would start a cycle");
  for (std::size_t i = 0; i < output_count; ++i) {
    boolean(static_cast<Told>(static_cast<std::size_t>(Told::k1) + i),
            std::string("command.") + name_of(static_cast<Output>(i)), "energised");
  }
  boolean(Told::count_purge, "command.count_purge", "volume changes are counted");
  boolean(Told::acknowledge, "command.acknowledge", "a reset was accepted");
  boolean(Told::programme_restart, "command.programme_restart", "a new cycle begins");
  boolean(Told::programme_advance, "command.programme_advance", "the next segment begins");
  boolean(Told::as_remembered, "answer.as_remembered", "the commands say what the logic remembers");
  boolean(Told::timers_run, "answer.timers_run",
          "every timer looked at was commanded to run, and none was taken back");
  boolean(Told::as_explored, "answer.as_explored",
          "the scan that the controller calls does what was explored step by step");
  boolean(Told::oxygen_monitor, "option.oxygen_monitor", "the machine has an oxygen monitor");
  boolean(Told::jacket_cooling, "option.jacket_cooling", "the machine has forced jacket cooling");
  boolean(Told::start_by_door, "option.start_by_door", "closing the door may start a cycle");
  at(Told::count);
}

properties::SignalTable make_table() {
  properties::SignalTable table;
  for (std::size_t i = 0; i < fact_count; ++i) {
    table.add_boolean(std::string("fact.") + name_of(static_cast<Fact>(i)), "what the logic sees");
  }
  add_told(table);
  for (std::size_t i = 0; i < timer_count; ++i) {
    table.add_boolean(std::string("timer.") + name_of(static_cast<Timer>(i)),
                      "the timer is commanded to run");
  }
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
          timers_run(commands, looked_at),
          true};
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
  set(Told::as_explored, answer.as_explored);
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
