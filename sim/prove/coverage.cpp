#include "sim/prove/coverage.hpp"

#include <array>

#include "firmware/logic/matrix.hpp"

namespace ovenproof::prove {
namespace {

using namespace logic;

// --- states ---

struct StatePart {
  const char* name;
  Needs needs;
  bool (*in)(const Places&);
};

template <Phase phase>
constexpr StatePart state(const char* name, Needs needs = Needs::nothing) {
  return {name, needs, [](const Places& p) { return p.phase == phase; }};
}
template <GasPath path>
constexpr StatePart state(const char* name) {
  return {name, Needs::nothing, [](const Places& p) { return p.gas == path; }};
}
template <FanState fan>
constexpr StatePart state(const char* name) {
  return {name, Needs::nothing, [](const Places& p) { return p.fan == fan; }};
}
template <JacketState jacket>
constexpr StatePart state(const char* name, Needs needs = Needs::jacket_cooling) {
  return {name, needs, [](const Places& p) { return p.jacket == jacket; }};
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
    state<JacketState::closed>("jacket closed", Needs::nothing),
    state<JacketState::opening>("jacket opening"),
    state<JacketState::open>("jacket open"),
    state<JacketState::closing>("jacket closing"),
};

// --- transitions ---

struct TransitionPart {
  const char* name;
  Needs needs;
  bool (*taken)(const Glimpse&);
};

bool is(const Glimpse& g, Fact fact) { return (g.reading.value & bit(fact)) != 0; }

template <auto from, auto to>
constexpr auto move = [](const Glimpse& g) {
  if constexpr (std::is_same_v<decltype(from), Phase>) {
    return g.before.places.phase == from && g.after.places.phase == to;
  } else if constexpr (std::is_same_v<decltype(from), GasPath>) {
    return g.before.places.gas == from && g.after.places.gas == to;
  } else if constexpr (std::is_same_v<decltype(from), FanState>) {
    return g.before.places.fan == from && g.after.places.fan == to;
  } else {
    return g.before.places.jacket == from && g.after.places.jacket == to;
  }
};

template <auto from, auto to>
constexpr TransitionPart transition(const char* name, Needs needs = Needs::nothing) {
  return {name, needs, move<from, to>};
}
/// One of two rows that lead the same way, told by the fact that its guard needs.
template <auto from, auto to, Fact fact>
constexpr TransitionPart transition_by(const char* name, Needs needs = Needs::nothing) {
  return {name, needs, [](const Glimpse& g) { return move<from, to>(g) && is(g, fact); }};
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
    transition<P::purging, P::standby>("purging -> standby"),
    transition<P::purging, P::tripped>("purging -> tripped"),
    transition<P::ramp, P::soak>("ramp -> soak"),
    transition<P::soak, P::ramp>("soak -> ramp"),
    transition<P::ramp, P::repurging>("ramp -> repurging"),
    transition<P::soak, P::repurging>("soak -> repurging"),
    transition_by<P::soak, P::cooling, Fact::soak_complete>("soak -> cooling at the end"),
    transition_by<P::soak, P::cooling, Fact::stop_pressed>("soak -> cooling by stop"),
    transition_by<P::ramp, P::cooling, Fact::stop_pressed>("ramp -> cooling by stop"),
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
    transition_by<P::unloading, P::standby, Fact::door_open>("unloading -> standby by the door"),
    transition_by<P::unloading, P::standby, Fact::stop_pressed>("unloading -> standby by stop"),
    transition<P::unloading, P::tripped>("unloading -> tripped"),

    transition<G::shut, G::purge>("gas shut -> purge"),
    transition<G::shut, G::process>("gas shut -> process"),
    transition<G::purge, G::shut>("gas purge -> shut"),
    transition<G::process, G::shut>("gas process -> shut"),

    transition<F::off, F::starting>("fan off -> starting"),
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

/// Reads what was looked at, and remembers whether something else was asked for.
struct Hindsight {
  const Reading& reading;
  mutable bool guessed = false;

  static bool read(const void* self, Fact fact) {
    const auto& hindsight = *static_cast<const Hindsight*>(self);
    if ((hindsight.reading.known & bit(fact)) == 0) hindsight.guessed = true;
    return (hindsight.reading.value & bit(fact)) != 0;
  }
};

/// The inhibit was there at the end of the scan.
bool inhibited(const Row& row, const Glimpse& g) {
  const Memory& m = g.after.memory;
  if (!row.phases.has(g.after.places.phase)) return false;
  // The gate is judged as the matrix saw it, before oxygen above the hold limit loses it.
  const bool gate_met =
      m.gate_met || (heating.has(g.after.places.phase) && g.before.memory.gate_met &&
                     is(g, Fact::oxygen_above_hold) && is(g, Fact::gas_supply_ok));
  const Hindsight hindsight{g.reading};
  const bool present = row.condition.present(
      {&hindsight, Hindsight::read},
      {g.after.places.phase, g.before.memory.energised, gate_met, m.repurges, g.options});
  return present && !hindsight.guessed;
}

bool row_acts(const Row& row, const Glimpse& g) {
  if (row.kind == Kind::trip) {
    return g.after.memory.first_out == row.cause && g.before.memory.first_out != row.cause;
  }
  return !(row.withholds & (g.after.memory.withheld - g.after.memory.latched)).empty() &&
         inhibited(row, g);
}

bool cell_acts(const Row& row, Output output, const Glimpse& g) {
  if (row.kind == Kind::trip) {
    return g.before.memory.energised.has(output) && row_acts(row, g);
  }
  const Memory& m = g.after.memory;
  return m.withheld.has(output) && !m.latched.has(output) && inhibited(row, g);
}

bool fitted(Needs needs, const Options& options) {
  return (needs != Needs::oxygen_monitor || options.oxygen_monitor) &&
         (needs != Needs::jacket_cooling || options.jacket_cooling);
}

// Identity of a part: its place among all states, transitions, rows and cells.
constexpr std::size_t first_transition = state_parts.size();
constexpr std::size_t first_row = first_transition + transition_parts.size();
constexpr std::size_t first_cell = first_row + cause_count;
constexpr std::size_t id_count = first_cell + cause_count * output_count;

/// A trip is seen at work only in the scan in which it becomes the first-out.
bool is_of_trip(std::size_t id) {
  if (id < first_row) return false;
  const std::size_t row = id < first_cell ? id - first_row : (id - first_cell) / output_count;
  return row < first_inhibit;
}

bool at_work(std::size_t id, const Glimpse& g) {
  if (id < first_transition) return state_parts[id].in(g.after.places);
  if (id < first_row) return transition_parts[id - first_transition].taken(g);
  if (id < first_cell) return row_acts(matrix[id - first_row], g);
  const std::size_t cell = id - first_cell;
  return cell_acts(matrix[cell / output_count], static_cast<Output>(cell % output_count), g);
}

}  // namespace

std::vector<Part> parts(const Options& options) {
  std::vector<Part> all;
  const auto add = [&](PartKind kind, std::string name, Needs needs, std::size_t id) {
    all.push_back({kind, std::move(name), fitted(needs, options), static_cast<std::uint16_t>(id)});
  };
  for (std::size_t i = 0; i < state_parts.size(); ++i) {
    add(PartKind::state, state_parts[i].name, state_parts[i].needs, i);
  }
  for (std::size_t i = 0; i < transition_parts.size(); ++i) {
    add(PartKind::transition, transition_parts[i].name, transition_parts[i].needs,
        first_transition + i);
  }
  for (std::size_t i = 0; i < cause_count; ++i) {
    add(PartKind::row, matrix[i].key, matrix[i].needs, first_row + i);
  }
  for (std::size_t i = 0; i < cause_count * output_count; ++i) {
    const Row& row = matrix[i / output_count];
    const auto output = static_cast<Output>(i % output_count);
    if (!row.withholds.has(output)) continue;
    const bool air = output == Output::damper || output == Output::blower;
    add(PartKind::cell, std::string(row.key) + " / " + name_of(output),
        air && row.needs == Needs::nothing ? Needs::jacket_cooling : row.needs, first_cell + i);
  }
  return all;
}

Coverage::Coverage(const Options& options) : seen_(id_count, false) {
  for (const Part& part : parts(options)) {
    if (part.fitted) (is_of_trip(part.id) ? open_trips_ : open_).push_back(part.id);
  }
}

void Coverage::note_birth(const LogicState& born) {
  for (std::size_t i = 0; i < state_parts.size(); ++i) {
    if (state_parts[i].in(born.places)) seen_[i] = true;
  }
  seen_[first_row + static_cast<std::size_t>(born.memory.first_out)] = true;
}

void Coverage::note(const Glimpse& scan) {
  const auto look = [&](std::vector<std::uint16_t>& open) {
    for (std::size_t i = 0; i < open.size();) {
      if (seen_[open[i]] || at_work(open[i], scan)) {
        seen_[open[i]] = true;
        open[i] = open.back();
        open.pop_back();
      } else {
        ++i;
      }
    }
  };
  look(open_);
  if (scan.before.memory.first_out != scan.after.memory.first_out) look(open_trips_);
}

void Coverage::merge(const Coverage& other) {
  if (seen_.size() < other.seen_.size()) seen_.resize(other.seen_.size(), false);
  for (std::size_t i = 0; i < other.seen_.size(); ++i) {
    if (other.seen_[i]) seen_[i] = true;
  }
}

}  // namespace ovenproof::prove
