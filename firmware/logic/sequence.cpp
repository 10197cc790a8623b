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

}  // namespace ovenproof::logic
