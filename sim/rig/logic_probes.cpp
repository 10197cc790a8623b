#include "sim/rig/logic_probes.hpp"

#include <array>
#include <string>
#include <utility>

#include "firmware/logic/matrix.hpp"

namespace ovenproof::rig {
namespace {

using logic::Cause;
using logic::Fact;
using logic::Output;

/// "fact.door_closed" and the like, kept for as long as the program runs.
template <std::size_t count, class NameOf>
std::array<std::string, count> names_with(std::string_view prefix, const NameOf& name_of) {
  std::array<std::string, count> names;
  for (std::size_t i = 0; i < count; ++i) names[i] = std::string(prefix) + name_of(i);
  return names;
}

template <std::size_t index>
double fact(const Rig& rig) {
  return rig.controller_runs() && rig.controller().facts().get(static_cast<Fact>(index)) ? 1.0
                                                                                         : 0.0;
}

template <std::size_t index>
double command(const Rig& rig) {
  return rig.controller_runs() &&
                 rig.controller().commands().outputs.has(static_cast<Output>(index))
             ? 1.0
             : 0.0;
}

/// What the logic asks of others in one scan.
template <bool logic::Commands::*request>
double asks(const Rig& rig) {
  return rig.controller_runs() && rig.controller().commands().*request ? 1.0 : 0.0;
}

template <std::size_t index>
double timer(const Rig& rig) {
  return rig.controller_runs() && (rig.controller().commands().timers >> index & 1U) != 0 ? 1.0
                                                                                          : 0.0;
}

template <std::size_t index>
double cause(const Rig& rig) {
  return rig.controller_runs() && (rig.controller().present_causes() >> index & 1U) != 0 ? 1.0
                                                                                         : 0.0;
}

double first_out(const Rig& rig) {
  return static_cast<double>(rig.controller_runs() ? rig.controller().commands().first_out
                                                   : Cause::none);
}

template <std::size_t... i>
void add_facts(std::vector<Probe>& all, std::index_sequence<i...>) {
  static const auto names = names_with<sizeof...(i)>(
      "fact.", [](std::size_t n) { return logic::name_of(static_cast<Fact>(n)); });
  (all.push_back({names[i], ProbeKind::boolean, "", {}, "fact, as the logic saw it", &fact<i>}),
   ...);
}

template <std::size_t... i>
void add_commands(std::vector<Probe>& all, std::index_sequence<i...>) {
  static const auto names = names_with<sizeof...(i)>(
      "command.", [](std::size_t n) { return logic::name_of(static_cast<Output>(n)); });
  (all.push_back(
       {names[i], ProbeKind::boolean, "", {}, "commanded: demanded and permitted", &command<i>}),
   ...);
  const auto add = [&all](std::string_view name, std::string_view what, auto read) {
    all.push_back({name, ProbeKind::boolean, "", {}, what, read});
  };
  using logic::Commands;
  add("command.count_purge", "volume changes are counted", &asks<&Commands::count_purge>);
  add("command.acknowledge", "a reset was accepted", &asks<&Commands::acknowledge>);
  add("command.programme_restart", "a new cycle begins", &asks<&Commands::programme_restart>);
  add("command.programme_advance", "the next segment begins", &asks<&Commands::programme_advance>);
}

template <std::size_t... i>
void add_timers(std::vector<Probe>& all, std::index_sequence<i...>) {
  static const auto names = names_with<sizeof...(i)>(
      "timer.", [](std::size_t n) { return logic::name_of(static_cast<logic::Timer>(n)); });
  (all.push_back(
       {names[i], ProbeKind::boolean, "", {}, "the logic commands the timer to run", &timer<i>}),
   ...);
}

template <std::size_t... i>
void add_causes(std::vector<Probe>& all, std::index_sequence<i...>) {
  static const auto names =
      names_with<sizeof...(i)>("cause.", [](std::size_t n) { return logic::matrix[n].key; });
  (all.push_back({names[i], ProbeKind::boolean, "", {}, logic::matrix[i].text, &cause<i>}), ...);
}

const std::array<std::string_view, logic::cause_count + 1>& cause_labels() {
  static const auto labels = [] {
    std::array<std::string_view, logic::cause_count + 1> keys;
    for (std::size_t i = 0; i < logic::cause_count; ++i) keys[i] = logic::matrix[i].key;
    keys[logic::cause_count] = "none";
    return keys;
  }();
  return labels;
}

}  // namespace

void add_logic_probes(std::vector<Probe>& all) {
  all.push_back({"first_out", ProbeKind::state, "", cause_labels(),
                 "the trip that came first; none: not tripped, or no power", &first_out});
  add_facts(all, std::make_index_sequence<logic::fact_count>());
  add_commands(all, std::make_index_sequence<logic::output_count>());
  add_timers(all, std::make_index_sequence<logic::timer_count>());
  add_causes(all, std::make_index_sequence<logic::cause_count>());
}

}  // namespace ovenproof::rig
