#include "sim/prove/coverage.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <type_traits>

#include "firmware/logic/enumerator_name.hpp"
#include "firmware/logic/matrix.hpp"
#include "sim/prove/fixed_facts.hpp"

namespace ovenproof::prove {
namespace {

using namespace logic;

// --- states ---

/// One state of one region.
struct StateKey {
  std::size_t region;
  std::size_t state;
  friend constexpr bool operator==(StateKey, StateKey) = default;
};

template <auto state>
constexpr StateKey key_of() {
  using Region = std::remove_const_t<decltype(state)>;
  constexpr std::size_t region = std::is_same_v<Region, Phase>      ? 0
                                 : std::is_same_v<Region, GasPath>  ? 1
                                 : std::is_same_v<Region, FanState> ? 2
                                                                    : 3;
  return {region, static_cast<std::size_t>(state)};
}

template <auto state>
bool is_in(const Places& places) {
  using Region = std::remove_const_t<decltype(state)>;
  if constexpr (std::is_same_v<Region, Phase>) {
    return places.phase == state;
  } else if constexpr (std::is_same_v<Region, GasPath>) {
    return places.gas == state;
  } else if constexpr (std::is_same_v<Region, FanState>) {
    return places.fan == state;
  } else {
    static_assert(std::is_same_v<Region, JacketState>);
    return places.jacket == state;
  }
}

struct StatePart {
  const char* name;
  Needs needs;
  StateKey key;
  bool (*in)(const Places&);
};

template <auto which>
constexpr StatePart state(const char* name, Needs needs = Needs::nothing) {
  return {name, needs, key_of<which>(), is_in<which>};
}

constexpr std::array state_parts{
    state<Phase::tripped>("tripped"),
    state<Phase::standby>("standby"),
    state<Phase::purging>("purging"),
    state<Phase::ramp>("ramp"),
    state<Phase::soak>("soak"),
    state<Phase::repurging>("repurging"),
    state<Phase::cooling>("cooling"),
    state<Phase::flushing>("flushing", Needs::oxygen_monitor),
    state<Phase::unloading>("unloading"),
    state<GasPath::shut>("gas shut"),
    state<GasPath::purge>("gas purge"),
    state<GasPath::process>("gas process"),
    state<FanState::off>("fan off"),
    state<FanState::starting>("fan starting"),
    state<FanState::proven>("fan proven"),
    state<FanState::run_on>("fan run-on"),
    state<JacketState::closed>("jacket closed"),
    state<JacketState::opening>("jacket opening", Needs::jacket_cooling),
    state<JacketState::open>("jacket open", Needs::jacket_cooling),
    state<JacketState::closing>("jacket closing", Needs::jacket_cooling),
};

// --- transitions ---

struct TransitionPart {
  const char* name;
  Needs needs;
  StateKey from;
  StateKey to;
  bool (*moved)(const Places& before, const Places& after);
  /// Where several rows of the table lead from the one state to the other, though not all of them
  /// from its innermost state: the guard of the row.
  const char* guard = "";
  /// Of two transitions that lead the same way: the fact that the guard of this one needs.
  FactSet by = 0;
};

const char* state_named(StateKey key) {
  return std::find_if(state_parts.begin(), state_parts.end(),
                      [key](const StatePart& part) { return part.key == key; })
      ->name;
}

bool is(const Glimpse& g, Fact fact) { return (g.reading.value & bit(fact)) != 0; }

template <auto from, auto to>
bool moved(const Places& before, const Places& after) {
  return is_in<from>(before) && is_in<to>(after);
}

template <auto from, auto to>
constexpr TransitionPart transition(const char* name, Needs needs = Needs::nothing) {
  return {name, needs, key_of<from>(), key_of<to>(), moved<from, to>};
}
template <auto from, auto to>
constexpr TransitionPart transition_when(const char* guard, const char* name, FactSet by = 0) {
  return {name, Needs::nothing, key_of<from>(), key_of<to>(), moved<from, to>, guard, by};
}

using P = Phase;
using G = GasPath;
using F = FanState;
using J = JacketState;

constexpr std::array transition_parts{
    transition<P::tripped, P::standby>("tripped -> standby"),
    transition<P::standby, P::purging>("standby -> purging"),
    transition<P::standby, P::tripped>("standby -> tripped"),
    transition<P::purging, P::ramp>("purging -> ramp"),
    transition_when<P::purging, P::standby>("stopped while purging", "purging -> standby"),
    transition<P::purging, P::tripped>("purging -> tripped"),
    transition<P::ramp, P::soak>("ramp -> soak"),
    transition<P::soak, P::ramp>("soak -> ramp"),
    transition<P::ramp, P::repurging>("ramp -> repurging"),
    transition<P::soak, P::repurging>("soak -> repurging"),
    transition_when<P::soak, P::cooling>("programme ended", "soak -> cooling at the end",
                                         bit(Fact::soak_complete)),
    transition_when<P::soak, P::cooling>("stop pressed", "soak -> cooling by stop",
                                         bit(Fact::stop_pressed)),
    transition_when<P::ramp, P::cooling>("stop pressed", "ramp -> cooling by stop",
                                         bit(Fact::stop_pressed)),
    transition<P::ramp, P::tripped>("ramp -> tripped"),
    transition<P::soak, P::tripped>("soak -> tripped"),
    transition<P::repurging, P::ramp>("repurging -> ramp"),
    transition<P::repurging, P::cooling>("repurging -> cooling"),
    transition<P::repurging, P::tripped>("repurging -> tripped"),
    transition<P::cooling, P::unloading>("cooling -> unloading"),
    transition<P::cooling, P::flushing>("cooling -> flushing", Needs::oxygen_monitor),
    transition<P::cooling, P::tripped>("cooling -> tripped"),
    transition<P::flushing, P::cooling>("flushing -> cooling", Needs::oxygen_monitor),
    transition<P::flushing, P::unloading>("flushing -> unloading", Needs::oxygen_monitor),
    transition<P::flushing, P::tripped>("flushing -> tripped", Needs::oxygen_monitor),
    transition_when<P::unloading, P::standby>(
        "opened for unloading", "unloading -> standby by the door", bit(Fact::door_open)),
    transition_when<P::unloading, P::standby>(
        "stopped while unloading", "unloading -> standby by stop", bit(Fact::stop_pressed)),
    transition<P::unloading, P::tripped>("unloading -> tripped"),

    transition<G::shut, G::purge>("gas shut -> purge"),
    transition<G::shut, G::process>("gas shut -> process"),
    transition<G::purge, G::shut>("gas purge -> shut"),
    transition<G::process, G::shut>("gas process -> shut"),

    transition<F::off, F::starting>("fan off -> starting"),
    transition<F::off, F::run_on>("fan off -> run-on"),
    transition<F::starting, F::proven>("fan starting -> proven"),
    transition<F::starting, F::run_on>("fan starting -> run-on"),
    transition<F::starting, F::off>("fan starting -> off"),
    transition<F::proven, F::starting>("fan proven -> starting"),
    transition<F::proven, F::run_on>("fan proven -> run-on"),
    transition<F::proven, F::off>("fan proven -> off"),
    transition<F::run_on, F::off>("fan run-on -> off"),
    transition<F::run_on, F::starting>("fan run-on -> starting"),

    transition<J::closed, J::opening>("jacket closed -> opening", Needs::jacket_cooling),
    transition<J::opening, J::open>("jacket opening -> open", Needs::jacket_cooling),
    transition<J::opening, J::closing>("jacket opening -> closing", Needs::jacket_cooling),
    transition<J::open, J::closing>("jacket open -> closing", Needs::jacket_cooling),
    transition<J::closing, J::closed>("jacket closing -> closed", Needs::jacket_cooling),
    transition<J::closing, J::opening>("jacket closing -> opening", Needs::jacket_cooling),
};

// --- the matrix ---

/// The gate was met when the matrix looked, and lost after it to oxygen above the hold limit, if
/// these facts say so.
bool gate_may_have_been_met(const LogicState& before, const LogicState& after) {
  return !after.memory.gate_met && heating.has(after.places.phase) && before.memory.gate_met;
}
constexpr FactSet lost_after_the_matrix = bit(Fact::oxygen_above_hold) | bit(Fact::gas_supply_ok);

Situation seen_by_matrix(const LogicState& before, const LogicState& after, bool gate_met,
                         const Options& options) {
  return {after.places.phase, before.memory.energised, gate_met, after.memory.repurges, options};
}

/// The inhibit was there at the end of the scan.
bool inhibited(const Row& row, const Glimpse& g, const Options& options) {
  if (!row.phases.has(g.after.places.phase)) return false;
  const bool gate_met =
      g.after.memory.gate_met || (gate_may_have_been_met(g.before, g.after) &&
                                  is(g, Fact::oxygen_above_hold) && is(g, Fact::gas_supply_ok));
  const FixedFacts facts(g.reading);
  const bool present =
      row.condition.present(facts.reader(), seen_by_matrix(g.before, g.after, gate_met, options));
  return present && !facts.guessed();
}

/// Facts that a condition can ask for.
FactSet asked_by(const Condition& condition, const Situation& situation) {
  struct Recorder {
    bool value;
    mutable FactSet asked = 0;
    static bool read(const void* self, Fact fact) {
      const auto& recorder = *static_cast<const Recorder*>(self);
      recorder.asked |= bit(fact);
      return recorder.value;
    }
  };
  FactSet asked = 0;
  for (const bool value : {false, true}) {
    const Recorder recorder{value};
    (void)condition.present({&recorder, Recorder::read}, situation);
    asked |= recorder.asked;
  }
  return asked;
}

bool fitted(Needs needs, const Options& options) {
  return (needs != Needs::oxygen_monitor || options.oxygen_monitor) &&
         (needs != Needs::jacket_cooling || options.jacket_cooling);
}

static_assert(state_parts.size() + transition_parts.size() <= Coverage::most_parts);

}  // namespace

const char* name_of(PartKind kind) {
  return enumerator_names<PartKind, 4>.at(static_cast<std::size_t>(kind));
}

std::vector<Part> parts(const Options& options) {
  const auto because = [&options](StateKey state) -> std::string {
    const bool never = state == key_of<Phase::repurging>() && options.max_repurges == 0;
    return never ? "the settings allow no re-purge" : "";
  };
  std::vector<Part> all;
  for (std::size_t i = 0; i < state_parts.size(); ++i) {
    const StatePart& part = state_parts[i];
    all.push_back({PartKind::state,
                   part.name,
                   fitted(part.needs, options),
                   i,
                   0,
                   because(part.key),
                   {},
                   {},
                   {}});
  }
  for (std::size_t i = 0; i < transition_parts.size(); ++i) {
    const TransitionPart& part = transition_parts[i];
    const std::string because_of_from = because(part.from);
    all.push_back({PartKind::transition, part.name, fitted(part.needs, options),
                   state_parts.size() + i, 0,
                   because_of_from.empty() ? because(part.to) : because_of_from,
                   state_named(part.from), state_named(part.to), part.guard});
  }
  for (std::size_t i = 0; i < cause_count; ++i) {
    all.push_back(
        {PartKind::row, matrix[i].key, fitted(matrix[i].needs, options), i, 0, {}, {}, {}, {}});
  }
  for (std::size_t i = 0; i < cause_count; ++i) {
    for (std::size_t o = 0; o < output_count; ++o) {
      const auto output = static_cast<Output>(o);
      if (!matrix[i].withholds.has(output)) continue;
      const bool air = output == Output::damper || output == Output::blower;
      const bool there = fitted(matrix[i].needs, options) && (!air || options.jacket_cooling);
      all.push_back({PartKind::cell,
                     std::string(matrix[i].key) + " / " + name_of(output),
                     there,
                     i,
                     o,
                     {},
                     {},
                     {},
                     {}});
    }
  }
  return all;
}

Coverage::Coverage(const Options& options) : options_(options) {
  for (const Part& part : parts(options)) {
    const bool of_machine = part.kind == PartKind::state || part.kind == PartKind::transition;
    if (of_machine && part.fitted) open_.push_back(part.index);
  }
}

bool Coverage::seen(const Part& part) const {
  switch (part.kind) {
    case PartKind::row:
      return rows_[part.index];
    case PartKind::cell:
      return cells_[part.index].has(static_cast<Output>(part.output));
    default:
      return machine_[part.index];
  }
}

void Coverage::note_birth(const LogicState& born) {
  for (std::size_t i = 0; i < state_parts.size(); ++i) {
    if (state_parts[i].in(born.places)) machine_.set(i);
  }
  rows_.set(static_cast<std::size_t>(born.memory.first_out));
}

std::optional<FactSet> Coverage::hangs_on(const Span& scans) const {
  const LogicState& before = scans.before;
  const LogicState& after = scans.after;
  std::optional<FactSet> facts;
  const auto add = [&facts](FactSet more) { facts = facts.value_or(0) | more; };
  for (const std::size_t id : open_) {
    if (machine_[id]) continue;
    if (id < state_parts.size()) {
      if (state_parts[id].in(after.places)) add(0);
    } else {
      const TransitionPart& part = transition_parts[id - state_parts.size()];
      const bool possible = (part.by & ~scans.can_be_true) == 0;
      if (possible && part.moved(before.places, after.places)) add(part.by);
    }
  }
  if (before.memory.first_out == Cause::none && after.memory.first_out != Cause::none) {
    for (std::uint64_t left = scans.first_outs; left != 0; left &= left - 1) {
      const auto i = static_cast<std::size_t>(std::countr_zero(left));
      if (rows_[i] && cells_[i].covers(before.memory.energised & matrix[i].withholds)) continue;
      add(which_first_out);
      break;
    }
  }
  const OutputSet inhibited_now = after.memory.withheld - after.memory.latched;
  if (inhibited_now.empty()) return facts;
  for (std::size_t i = first_inhibit; i < cause_count; ++i) {
    const OutputSet taken = inhibited_now & matrix[i].withholds;
    if (cells_[i].covers(taken) || !fitted(matrix[i].needs, options_)) continue;
    const Condition& condition = matrix[i].condition;
    if (condition.otherwise == nullptr) {
      const FactSet can_be = condition.is ? scans.can_be_true : scans.can_be_false;
      if ((can_be & bit(condition.fact)) == 0) continue;
    }
    for (const bool gate_met : {false, true}) {
      add(asked_by(condition, seen_by_matrix(before, after, gate_met, options_)));
    }
    if (gate_may_have_been_met(before, after)) add(lost_after_the_matrix);
  }
  return facts;
}

void Coverage::note(const Glimpse& scan) {
  std::erase_if(open_, [&](std::size_t id) {
    if (!machine_[id]) {
      if (id < state_parts.size()) {
        machine_[id] = state_parts[id].in(scan.after.places);
      } else {
        const TransitionPart& part = transition_parts[id - state_parts.size()];
        machine_[id] = part.moved(scan.before.places, scan.after.places) &&
                       (scan.reading.value & part.by) == part.by;
      }
    }
    return machine_[id];
  });

  const Memory& before = scan.before.memory;
  const Memory& after = scan.after.memory;
  if (scan.tripped_by != Cause::none) {
    const auto cause = static_cast<std::size_t>(scan.tripped_by);
    rows_.set(cause);
    cells_[cause] = cells_[cause] | (before.energised & matrix[cause].withholds);
  }
  const OutputSet inhibited_now = after.withheld - after.latched;
  if (inhibited_now.empty()) return;
  for (std::size_t i = first_inhibit; i < cause_count; ++i) {
    const OutputSet taken = inhibited_now & matrix[i].withholds;
    if (cells_[i].covers(taken) || !inhibited(matrix[i], scan, options_)) continue;
    rows_.set(i);
    cells_[i] = cells_[i] | taken;
  }
}

void Coverage::merge(const Coverage& other) {
  machine_ |= other.machine_;
  rows_ |= other.rows_;
  for (std::size_t i = 0; i < cause_count; ++i) cells_[i] = cells_[i] | other.cells_[i];
  std::erase_if(open_, [this](std::size_t part) { return machine_[part]; });
}

}  // namespace ovenproof::prove
