#include "firmware/logic/sequence.hpp"

#include <new>

#include "firmware/logic/machine.hpp"

namespace ovenproof::logic {
namespace {

using Box = std::array<std::byte, 128>;

OvenMachine& machine_in(Box& box) {
  return *std::launder(reinterpret_cast<OvenMachine*>(box.data()));
}

// The library's look-ups are not const, though they only look.
OvenMachine& machine_in(const Box& box) { return machine_in(const_cast<Box&>(box)); }

/// Number that the machine gives to one of its states.
template <class Machine, class State>
constexpr int id = boost::msm::back::get_state_id<typename Machine::stt, State>::value;

Phase phase_of(HeatingMachine& heat) {
  return heat.current_state()[0] == id<HeatingMachine, RampState> ? Phase::ramp : Phase::soak;
}

Phase phase_of(CycleMachine& cycle) {
  switch (cycle.current_state()[0]) {
    case id<CycleMachine, PurgingState>:
      return Phase::purging;
    case id<CycleMachine, RepurgingState>:
      return Phase::repurging;
    case id<CycleMachine, CoolingState>:
      return Phase::cooling;
    case id<CycleMachine, FlushingState>:
      return Phase::flushing;
    case id<CycleMachine, UnloadingState>:
      return Phase::unloading;
    default:
      return phase_of(cycle.get_state<HeatingMachine&>());
  }
}

/// The library shows the numbers of its active states and lets nobody set them; the machine itself
/// is never const.
template <class Machine>
void set_state(Machine& machine, std::size_t region, int number) {
  const_cast<int*>(machine.current_state())[region] = number;
}

int number_of(GasPath path) {
  switch (path) {
    case GasPath::purge:
      return id<OvenMachine, GasPurgeState>;
    case GasPath::process:
      return id<OvenMachine, GasProcessState>;
    default:
      return id<OvenMachine, GasShutState>;
  }
}

int number_of(FanState state) {
  switch (state) {
    case FanState::starting:
      return id<OvenMachine, FanStartingState>;
    case FanState::proven:
      return id<OvenMachine, FanProvenState>;
    case FanState::run_on:
      return id<OvenMachine, FanRunOnState>;
    default:
      return id<OvenMachine, FanOffState>;
  }
}

int number_of(JacketState state) {
  switch (state) {
    case JacketState::opening:
      return id<OvenMachine, JacketOpeningState>;
    case JacketState::open:
      return id<OvenMachine, JacketOpenState>;
    case JacketState::closing:
      return id<OvenMachine, JacketClosingState>;
    default:
      return id<OvenMachine, JacketClosedState>;
  }
}

/// Number of the cycle's state that is, or holds, the phase.
int number_in_cycle(Phase phase) {
  switch (phase) {
    case Phase::ramp:
    case Phase::soak:
      return id<CycleMachine, HeatingMachine>;
    case Phase::repurging:
      return id<CycleMachine, RepurgingState>;
    case Phase::cooling:
      return id<CycleMachine, CoolingState>;
    case Phase::flushing:
      return id<CycleMachine, FlushingState>;
    case Phase::unloading:
      return id<CycleMachine, UnloadingState>;
    default:
      return id<CycleMachine, PurgingState>;
  }
}

int number_in_oven(Phase phase) {
  switch (phase) {
    case Phase::tripped:
      return id<OvenMachine, TrippedState>;
    case Phase::standby:
      return id<OvenMachine, StandbyState>;
    default:
      return id<OvenMachine, CycleMachine>;
  }
}

}  // namespace

Sequence::Sequence() {
  static_assert(sizeof(OvenMachine) <= sizeof(Box) &&
                alignof(OvenMachine) <= alignof(std::max_align_t));
  ::new (box_.data()) OvenMachine;
  machine_in(box_).start();
}

Sequence::Sequence(const Sequence& other) {
  // As const: for anything else the library's forwarding constructor is the better match, and that
  // makes a fresh machine.
  const OvenMachine& machine = machine_in(other.box_);
  ::new (box_.data()) OvenMachine(machine);
}

Sequence& Sequence::operator=(const Sequence& other) {
  machine_in(box_) = machine_in(other.box_);
  return *this;
}

Sequence::~Sequence() { machine_in(box_).~OvenMachine(); }

void Sequence::send(const Protect& event) { machine_in(box_).process_event(event); }
void Sequence::send(const Interrupt& event) { machine_in(box_).process_event(event); }
void Sequence::send(const Advance& event) { machine_in(box_).process_event(event); }
void Sequence::send(const Actuate& event) { machine_in(box_).process_event(event); }

Phase Sequence::phase() const {
  OvenMachine& machine = machine_in(box_);
  switch (machine.current_state()[0]) {
    case id<OvenMachine, TrippedState>:
      return Phase::tripped;
    case id<OvenMachine, StandbyState>:
      return Phase::standby;
    default:
      return phase_of(machine.get_state<CycleMachine&>());
  }
}

GasPath Sequence::gas_path() const {
  switch (machine_in(box_).current_state()[1]) {
    case id<OvenMachine, GasPurgeState>:
      return GasPath::purge;
    case id<OvenMachine, GasProcessState>:
      return GasPath::process;
    default:
      return GasPath::shut;
  }
}

FanState Sequence::fan_state() const {
  switch (machine_in(box_).current_state()[2]) {
    case id<OvenMachine, FanStartingState>:
      return FanState::starting;
    case id<OvenMachine, FanProvenState>:
      return FanState::proven;
    case id<OvenMachine, FanRunOnState>:
      return FanState::run_on;
    default:
      return FanState::off;
  }
}

JacketState Sequence::jacket_state() const {
  switch (machine_in(box_).current_state()[3]) {
    case id<OvenMachine, JacketOpeningState>:
      return JacketState::opening;
    case id<OvenMachine, JacketOpenState>:
      return JacketState::open;
    case id<OvenMachine, JacketClosingState>:
      return JacketState::closing;
    default:
      return JacketState::closed;
  }
}

Places Sequence::places() const { return {phase(), gas_path(), fan_state(), jacket_state()}; }

void Sequence::put(const Places& places) {
  OvenMachine& oven = machine_in(box_);
  CycleMachine& cycle = oven.get_state<CycleMachine&>();
  HeatingMachine& heat = cycle.get_state<HeatingMachine&>();
  set_state(oven, 0, number_in_oven(places.phase));
  set_state(oven, 1, number_of(places.gas));
  set_state(oven, 2, number_of(places.fan));
  set_state(oven, 3, number_of(places.jacket));
  set_state(cycle, 0, number_in_cycle(places.phase));
  set_state(
      heat, 0,
      places.phase == Phase::soak ? id<HeatingMachine, SoakState> : id<HeatingMachine, RampState>);
}

}  // namespace ovenproof::logic
