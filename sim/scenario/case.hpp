#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "firmware/logic/phase.hpp"
#include "hal-mock/signal_fault.hpp"
#include "hal-mock/virtual_clock.hpp"
#include "sim/machine/machine.hpp"
#include "sim/plant/faults.hpp"
#include "sim/properties/property.hpp"
#include "sim/properties/signal_table.hpp"
#include "sim/rig/rig.hpp"

/// Scenarios: scripted events on one oven, and what must hold. This is what a scenario file means,
/// after everything in it has been checked.
namespace ovenproof::scenario {

/// An oven as cases need it; shared by all cases of one machine with the same overrides.
struct OvenContext {
  machine::Machine machine;
  std::string machine_name;  ///< stem of the machine file
  rig::Oven oven;            ///< power just switched on, cold
  properties::SignalTable table;
  std::vector<properties::Property> hazards;  ///< the default hazards, compiled
  std::uint32_t period_ms = 10;
};

/// How a case finds its oven.
struct Start {
  enum class Kind : std::uint8_t {
    cold,          ///< power just switched on, in air, the oxygen monitor cold
    warm_monitor,  ///< the same with the oxygen monitor warm
    standby,       ///< reset, loaded, closed; only the start is missing
    in_phase,      ///< a nominal cycle has come to that phase
    armed          ///< a nominal cycle has ended; loaded again, the door stands open
  };
  Kind kind = Kind::cold;
  logic::Phase phase = logic::Phase::tripped;  ///< of `in_phase`
  std::uint32_t into_ms = 0;                   ///< of `in_phase`: time since it was entered
  friend bool operator==(const Start&, const Start&) = default;
};

/// When a step is due.
struct Trigger {
  enum class Kind : std::uint8_t {
    at,     ///< `delay_ms` after the case began
    after,  ///< `delay_ms` after the step before
    when,   ///< `delay_ms` after the condition came, looked at from the step before on
    on      ///< `delay_ms` after the phase was found
  };
  Kind kind = Kind::after;
  std::uint32_t delay_ms = 0;
  std::uint32_t timeout_ms = 0;  ///< of `when` and `on`: not due by then, the case cannot be played
  std::optional<properties::Property> never;   ///< of `when`: "never (the condition)"
  std::string condition;                       ///< of `when`, as written
  logic::Phase phase = logic::Phase::tripped;  ///< of `on`
};

enum class Button : std::uint8_t { start, stop, reset, limiter_reset, estop };

struct SetButton {
  Button button = Button::start;
  bool pressed = false;
};
struct MoveDoor {
  bool open = false;
};
/// Somebody reaches into the open door, or pulls back.
struct ReachIn {
  bool in = false;
};
struct ExchangeLoad {};
struct BreakSignal {
  mock::SignalFault fault;  ///< onset and end relative to the action
};
struct BreakComponent {
  rig::ComponentFault fault;  ///< onset and end relative to the action
};
struct BreakClock {
  mock::ClockFault fault;  ///< onset and end relative to the action
};
struct StopConverter {
  mock::VirtualMs for_ms = mock::no_end;
};
/// Undoes signal, component and clock faults and starts the converter: of one point, of one
/// component, or all.
struct Clear {
  std::optional<mock::Point> point;
  std::optional<plant::Fault> component;
};
struct SwitchPower {
  bool on = false;
};
struct Stall {
  std::uint32_t for_ms = 0;
};
struct FlipStore {
  std::size_t offset = 0;
  std::uint8_t mask = 1;
};
struct FailStore {
  bool failing = false;
};
struct SetSupply {
  std::optional<double> kPa;  ///< nothing: as the machine file says
};
struct SetAmbient {
  double degC = 20.0;
};
struct SetVentilation {
  double share = 1.0;
};

/// One thing done to the oven or its controller.
using Act = std::variant<SetButton, MoveDoor, ReachIn, ExchangeLoad, BreakSignal, BreakComponent,
                         BreakClock, StopConverter, Clear, SwitchPower, Stall, FlipStore, FailStore,
                         SetSupply, SetAmbient, SetVentilation>;

/// An act, what it is in words, and what undoes it after a while.
struct Action {
  Act act;
  std::string text;
  std::optional<Act> undo;
  std::uint32_t undo_after_ms = 0;
};

struct Step {
  Trigger trigger;
  std::vector<Action> actions;
  std::string note;
};

/// What must hold in a case.
struct Expectation {
  std::string name;
  properties::Property property;
  std::string may_be_vacuous;  ///< why; empty: it must speak of something that happened
  std::vector<std::string> covers;
};

/// A default hazard that a case brings about on purpose.
struct Waiver {
  std::size_t hazard = 0;  ///< index in `hazards::default_hazards()`
  std::string reason;
};

/// When a case is over.
struct Until {
  std::uint32_t after_last_step_ms = 10'000;
  std::optional<properties::Property> never;  ///< "never (the condition)" that ends it instead
  std::string condition;
  std::uint32_t timeout_ms = 0;  ///< after the last step
};

struct Case {
  std::string file;  ///< as the user named it
  std::string name;  ///< unique in its file
  std::string shows;
  std::vector<std::string> covers;
  std::shared_ptr<const OvenContext> oven;
  Start start;
  std::vector<Step> steps;
  std::vector<Expectation> expectations;
  std::vector<Waiver> waivers;
  Until until;
};

}  // namespace ovenproof::scenario
