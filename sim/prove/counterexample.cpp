#include "sim/prove/counterexample.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>

#include "sim/properties/monitor.hpp"
#include "sim/prove/healthy_facts.hpp"

namespace ovenproof::prove {
namespace {

using namespace logic;

/// Also notes what is looked at.
struct Table {
  FactSet facts;
  mutable FactSet looked_at = 0;

  [[nodiscard]] Facts reader() const {
    return {this, [](const void* self, Fact fact) {
              const auto* table = static_cast<const Table*>(self);
              table->looked_at |= bit(fact);
              return (table->facts & bit(fact)) != 0;
            }};
  }
};

/// All facts of a scan: those the script gives, and the usual ones where they do not contradict it.
FactSet filled(const Reading& script, OutputSet energised) {
  FactSet facts = script.value | (usual_facts(energised) & ~script.known);
  return facts & ~(excluded_by(script.value) & ~script.known);
}

void fill_row(const PlayedScan& scan, const Options& options, std::vector<double>& row) {
  row.clear();
  const auto add_bits = [&row](std::uint64_t bits, std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) row.push_back((bits >> i & 1U) != 0 ? 1.0 : 0.0);
  };
  add_bits(scan.facts, fact_count);
  for (const std::uint8_t value : told_by(scan.answer, options)) row.push_back(value);
  add_bits(scan.timers, timer_count);
}

}  // namespace

FactSet usual_facts(OutputSet on) {
  using enum Fact;
  FactSet facts = healthy_facts;
  const auto set = [&facts](Fact fact, bool value) {
    if (value) facts |= bit(fact);
  };
  // What is at rest is cold, as far as nothing says otherwise.
  set(cool_to_unload, on.empty());
  set(gas_settled, on.empty());
  set(elements_cool, on.empty());
  set(purge_flow, on.has(Output::purge_valve));
  set(process_flow, on.has(Output::process_valve));
  set(fan_running, on.has(Output::fan));
  set(k1_open, !on.has(Output::k1));
  set(k2_open, !on.has(Output::k2));
  set(damper_open, on.has(Output::damper));
  set(damper_closed, !on.has(Output::damper));
  set(blower_running, on.has(Output::blower));
  return facts;
}

Script script_of(const Subject& subject, const Histories& histories, const Exploration& exploration,
                 std::size_t property) {
  const StateStore& states = exploration.states;
  std::vector<StateStore::Index> path;  // from the violation back to the birth
  for (StateStore::Index at = exploration.properties.at(property).violated.value();
       at != StateStore::none; at = states.parent(at)) {
    path.push_back(at);
  }
  std::reverse(path.begin(), path.end());

  Script script;
  script.born = unpack(states.key(path.front()).logic).memory.first_out;
  ProspectStore store;
  Subject as_explored = subject;
  as_explored.merge_first_outs = exploration.merged;
  Expansion expansion(as_explored, histories, store);
  for (std::size_t i = 0; i < path.size(); ++i) {
    const bool last = i + 1 == path.size();
    const Key& from = states.key(path[i]);
    const std::optional<Way> way = last ? expansion.way_to_violate(from, property)
                                        : expansion.way(from, states.key(path[i + 1]));
    if (!way) throw std::logic_error("a state that was found is not found again");
    // Facts of the scan before that nobody had looked at until now.
    if (i > 0) script.scans.back() = script.scans.back() | way->reading_before;
    script.scans.push_back(way->reading);
  }
  return script;
}

Played play(const Options& options, const Script& script, const properties::Property& property) {
  Played played;
  Logic logic(options, script.born);
  properties::Monitor monitor(property);
  std::vector<double> row;
  OutputSet energised;
  for (const Reading& reading : script.scans) {
    const Table table{filled(reading, energised)};
    Logic in_steps(options);
    in_steps.resume(logic.state());
    Progress progress = in_steps.begin();
    while (progress.next != Step::done) in_steps.step(progress, table.reader());

    const Commands commands = logic.scan(Facts(table.facts));
    energised = commands.outputs;
    Answer answer = answer_of(logic.state(), commands, table.looked_at);
    answer.as_explored = logic.state() == in_steps.state() && commands == progress.commands;
    played.scans.push_back({table.facts, answer, commands.timers});
    fill_row(played.scans.back(), options, row);
    monitor.step(row);
    if (!played.violated_in && monitor.standing() == properties::Outcome::violated) {
      played.violated_in = played.scans.size() - 1;
    }
  }
  return played;
}

Script minimised(const Options& options, Script script, const properties::Property& property) {
  // A fact that is given up early may be the one for which a later scan needed another.
  for (bool fewer = true; fewer;) {
    fewer = false;
    for (std::size_t i = script.scans.size(); i-- > 0;) {
      for (FactSet left = script.scans[i].known; left != 0; left &= left - 1) {
        const FactSet fact = left & ~(left - 1);
        Script tried = script;
        tried.scans[i].known &= ~fact;
        tried.scans[i].value &= ~fact;
        if (!play(options, tried, property).violated_in) continue;
        script = std::move(tried);
        fewer = true;
      }
    }
  }
  return script;
}

std::vector<FactSet> needed_as_usual(const Options& options, const Script& script,
                                     const properties::Property& property) {
  using enum Fact;
  // Where one of several must not have come, it is the latest of these: what is so all along, or
  // soon, cannot be waited for.
  constexpr std::array progress{last_segment,   gas_settled,           cool_to_unload,
                                oxygen_at_gate, purge_volumes_reached, elements_cool,
                                ramp_complete,  soak_complete};
  std::vector<FactSet> needed(script.scans.size());
  for (std::size_t i = 0; i < script.scans.size(); ++i) {
    Script tried = script;
    for (const Fact fact : progress) {
      if ((script.scans[i].known & bit(fact)) != 0) continue;
      Script further = tried;
      further.scans[i].known |= bit(fact);
      further.scans[i].value |= bit(fact);
      if (play(options, further, property).violated_in) {
        tried = std::move(further);
      } else {
        needed[i] |= bit(fact);
      }
    }
  }
  return needed;
}

}  // namespace ovenproof::prove
