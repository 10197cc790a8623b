#pragma once
// Boost.MSM and its parts warn under -Wpedantic in places we do not own: included as system
// headers.
#include <boost/mpl/vector/vector30.hpp>
#include <boost/msm/back/state_machine.hpp>
#include <boost/msm/front/functor_row.hpp>
#include <boost/msm/front/state_machine_def.hpp>

#include "firmware/logic/decisions.hpp"

/// The hierarchical state machine: the sequence, and beside it the gas routing, the circulation fan
/// and the jacket cooling.
///
/// Reading the tables: among rows of one source and event the LAST is tried first.
namespace ovenproof::logic {

namespace msm_tools {

/// Makes a guard of a plain function, which sees the scan and cannot change it.
template <bool (*predicate)(const View&)>
struct When {
  template <class Event, class Fsm, class Source, class Target>
  bool operator()(const Event& event, Fsm&, Source&, Target&) const {
    return predicate(event.scan.view());
  }
};

/// Makes an action of a plain function.
template <void (*action)(Scan&)>
struct Do {
  template <class Event, class Fsm, class Source, class Target>
  void operator()(const Event& event, Fsm&, Source&, Target&) const {
    action(event.scan);
  }
};

/// What every machine here has in common: no queues, no exceptions, unhandled events are normal.
template <class Derived>
struct Definition : boost::msm::front::state_machine_def<Derived> {
  using no_message_queue = int;
  using no_exception_thrown = int;

  template <class Fsm, class Event>
  void no_transition(const Event&, Fsm&, int) {}
  template <class Fsm, class Event, class Exception>
  void exception_caught(const Event&, Fsm&, Exception&) {}
};

template <class Source, class Event, class Target, class Action, class Guard>
using Row = boost::msm::front::Row<Source, Event, Target, Action, Guard>;
using None = boost::msm::front::none;

}  // namespace msm_tools

// --- heating: ramp and soak of one segment after the other ---

struct RampState : boost::msm::front::state<> {};
struct SoakState : boost::msm::front::state<> {};

struct HeatingDefinition : msm_tools::Definition<HeatingDefinition> {
  using initial_state = RampState;

  static bool ramp_complete(const View& view) { return view.facts(Fact::ramp_complete); }
  static bool soak_complete_not_last(const View& view) {
    return view.facts(Fact::soak_complete) && !view.facts(Fact::last_segment);
  }

  // clang-format off
  struct transition_table : boost::mpl::vector<
    //             from       on       to         do                             when
    msm_tools::Row<RampState, Advance, SoakState, msm_tools::None,               msm_tools::When<ramp_complete>>,
    msm_tools::Row<SoakState, Advance, RampState, msm_tools::Do<next_segment>,   msm_tools::When<soak_complete_not_last>>
  > {};
  // clang-format on
};
using HeatingMachine = boost::msm::back::state_machine<HeatingDefinition>;

// --- the closed cycle ---

struct PurgingState : boost::msm::front::state<> {};
struct RepurgingState : boost::msm::front::state<> {};
struct CoolingState : boost::msm::front::state<> {};
struct FlushingState : boost::msm::front::state<> {};
struct UnloadingState : boost::msm::front::state<> {};

struct CycleDefinition : msm_tools::Definition<CycleDefinition> {
  using initial_state = PurgingState;

  // clang-format off
  struct transition_table : boost::mpl::vector<
    //             from            on         to              do                                  when
    msm_tools::Row<PurgingState,   Advance,   HeatingMachine, msm_tools::Do<meet_gate>,           msm_tools::When<gate_reached>>,

    msm_tools::Row<HeatingMachine, Advance,   CoolingState,   msm_tools::Do<complete_programme>,  msm_tools::When<programme_ended>>,
    msm_tools::Row<HeatingMachine, Interrupt, RepurgingState, msm_tools::Do<interrupt_heating>,   msm_tools::When<inert_gas_lost>>,
    msm_tools::Row<HeatingMachine, Interrupt, CoolingState,   msm_tools::Do<break_off_heating>,   msm_tools::When<stop_pressed>>,

    msm_tools::Row<RepurgingState, Advance,   HeatingMachine, msm_tools::Do<meet_gate>,           msm_tools::When<gate_reached>>,
    msm_tools::Row<RepurgingState, Interrupt, CoolingState,   msm_tools::Do<break_off_heating>,   msm_tools::When<stop_pressed>>,

    msm_tools::Row<CoolingState,   Advance,   UnloadingState, msm_tools::Do<permit_unloading>,    msm_tools::When<cooled_down>>,
    msm_tools::Row<CoolingState,   Interrupt, FlushingState,  msm_tools::None,                    msm_tools::When<air_may_come_in>>,
    msm_tools::Row<FlushingState,  Advance,   CoolingState,   msm_tools::None,                    msm_tools::When<gate_reached>>,
    // A cold load needs no gate: a monitor that never comes down must not purge for ever.
    msm_tools::Row<FlushingState,  Advance,   UnloadingState, msm_tools::Do<permit_unloading>,    msm_tools::When<cooled_down>>
  > {};
  // clang-format on
};
using CycleMachine = boost::msm::back::state_machine<CycleDefinition>;

// --- everything ---

struct TrippedState : boost::msm::front::state<> {};
struct StandbyState : boost::msm::front::state<> {};

struct GasShutState : boost::msm::front::state<> {};
struct GasPurgeState : boost::msm::front::state<> {};
struct GasProcessState : boost::msm::front::state<> {};

struct FanOffState : boost::msm::front::state<> {};
struct FanStartingState : boost::msm::front::state<> {};
struct FanProvenState : boost::msm::front::state<> {};
struct FanRunOnState : boost::msm::front::state<> {};

struct JacketClosedState : boost::msm::front::state<> {};
struct JacketOpeningState : boost::msm::front::state<> {};
struct JacketOpenState : boost::msm::front::state<> {};
struct JacketClosingState : boost::msm::front::state<> {};

struct OvenDefinition : msm_tools::Definition<OvenDefinition> {
  using initial_state =
      boost::mpl::vector<TrippedState, GasShutState, FanOffState, JacketClosedState>;

  // Guards of the outer rows that ask where the inner machine is.
  static bool stopped_while_purging(const View& view) {
    return view.phase == Phase::purging && stop_pressed(view);
  }
  static bool opened_for_unloading(const View& view) {
    return view.phase == Phase::unloading && door_fully_open(view);
  }
  static bool stopped_while_unloading(const View& view) {
    return view.phase == Phase::unloading && stop_pressed(view);
  }

  // Break before make: both paths are shut for the changeover time between any two.
  static bool purge_may_open(const View& view) { return may_open(view, GasPath::purge); }
  static bool process_may_open(const View& view) { return may_open(view, GasPath::process); }
  static bool may_open(const View& view, GasPath path) {
    return wanted_path(view) == path && view.facts.elapsed(Timer::changeover);
  }
  static bool purge_unwanted(const View& view) { return wanted_path(view) != GasPath::purge; }
  static bool process_unwanted(const View& view) { return wanted_path(view) != GasPath::process; }

  static bool fan_proven(const View& view) { return view.facts(Fact::fan_running); }
  static bool fan_lost(const View& view) { return !fan_proven(view); }
  static bool fan_may_stop(const View& view) {
    return !fan_wanted(view) && view.facts(Fact::elements_cool);
  }
  static bool fan_runs_on(const View& view) {
    return !fan_wanted(view) && !view.facts(Fact::elements_cool);
  }
  // Once the matrix has taken the run-on away (the door was opened, say), it does not come back.
  static bool run_on_ends(const View& view) {
    return view.memory.withheld.has(Output::fan) || view.facts(Fact::elements_cool);
  }

  static bool jacket_unwanted(const View& view) { return !jacket_cooling_wanted(view); }
  static bool damper_at_open_stop(const View& view) { return view.facts(Fact::damper_open); }
  static bool damper_at_closed_stop(const View& view) { return view.facts(Fact::damper_closed); }

  // clang-format off
  struct transition_table : boost::mpl::vector27<
    //             from                on         to                  do                                   when
    msm_tools::Row<TrippedState,       Advance,   StandbyState,       msm_tools::Do<clear_trip>,           msm_tools::When<reset_accepted>>,
    msm_tools::Row<StandbyState,       Advance,   CycleMachine,       msm_tools::Do<begin_cycle>,          msm_tools::When<start_accepted>>,
    msm_tools::Row<StandbyState,       Protect,   TrippedState,       msm_tools::Do<trip>,                 msm_tools::None>,
    msm_tools::Row<CycleMachine,       Advance,   StandbyState,       msm_tools::Do<arm_next_start>,       msm_tools::When<opened_for_unloading>>,
    msm_tools::Row<CycleMachine,       Interrupt, StandbyState,       msm_tools::Do<return_to_standby>,    msm_tools::When<stopped_while_unloading>>,
    msm_tools::Row<CycleMachine,       Interrupt, StandbyState,       msm_tools::Do<return_to_standby>,    msm_tools::When<stopped_while_purging>>,
    msm_tools::Row<CycleMachine,       Protect,   TrippedState,       msm_tools::Do<trip>,                 msm_tools::None>,

    msm_tools::Row<GasShutState,       Actuate,   GasPurgeState,      msm_tools::None,                     msm_tools::When<purge_may_open>>,
    msm_tools::Row<GasShutState,       Actuate,   GasProcessState,    msm_tools::None,                     msm_tools::When<process_may_open>>,
    msm_tools::Row<GasPurgeState,      Actuate,   GasShutState,       msm_tools::None,                     msm_tools::When<purge_unwanted>>,
    msm_tools::Row<GasProcessState,    Actuate,   GasShutState,       msm_tools::None,                     msm_tools::When<process_unwanted>>,

    msm_tools::Row<FanOffState,        Actuate,   FanStartingState,   msm_tools::None,                     msm_tools::When<fan_wanted>>,
    msm_tools::Row<FanOffState,        Actuate,   FanRunOnState,      msm_tools::None,                     msm_tools::When<fan_restored>>,
    msm_tools::Row<FanStartingState,   Actuate,   FanProvenState,     msm_tools::None,                     msm_tools::When<fan_proven>>,
    msm_tools::Row<FanStartingState,   Actuate,   FanRunOnState,      msm_tools::None,                     msm_tools::When<fan_runs_on>>,
    msm_tools::Row<FanStartingState,   Actuate,   FanOffState,        msm_tools::None,                     msm_tools::When<fan_may_stop>>,
    msm_tools::Row<FanProvenState,     Actuate,   FanStartingState,   msm_tools::None,                     msm_tools::When<fan_lost>>,
    msm_tools::Row<FanProvenState,     Actuate,   FanRunOnState,      msm_tools::None,                     msm_tools::When<fan_runs_on>>,
    msm_tools::Row<FanProvenState,     Actuate,   FanOffState,        msm_tools::None,                     msm_tools::When<fan_may_stop>>,
    msm_tools::Row<FanRunOnState,      Actuate,   FanOffState,        msm_tools::None,                     msm_tools::When<run_on_ends>>,
    msm_tools::Row<FanRunOnState,      Actuate,   FanStartingState,   msm_tools::None,                     msm_tools::When<fan_wanted>>,

    msm_tools::Row<JacketClosedState,  Actuate,   JacketOpeningState, msm_tools::None,                     msm_tools::When<jacket_cooling_wanted>>,
    msm_tools::Row<JacketOpeningState, Actuate,   JacketOpenState,    msm_tools::None,                     msm_tools::When<damper_at_open_stop>>,
    msm_tools::Row<JacketOpeningState, Actuate,   JacketClosingState, msm_tools::None,                     msm_tools::When<jacket_unwanted>>,
    msm_tools::Row<JacketOpenState,    Actuate,   JacketClosingState, msm_tools::None,                     msm_tools::When<jacket_unwanted>>,
    msm_tools::Row<JacketClosingState, Actuate,   JacketClosedState,  msm_tools::None,                     msm_tools::When<damper_at_closed_stop>>,
    msm_tools::Row<JacketClosingState, Actuate,   JacketOpeningState, msm_tools::None,                     msm_tools::When<jacket_cooling_wanted>>
  > {};
  // clang-format on
};
using OvenMachine = boost::msm::back::state_machine<OvenDefinition>;

}  // namespace ovenproof::logic
