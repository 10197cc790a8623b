#include "sim/scenario/act.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::scenario {
namespace {

template <class... Lambdas>
struct Overloaded : Lambdas... {
  using Lambdas::operator()...;
};
template <class... Lambdas>
Overloaded(Lambdas...) -> Overloaded<Lambdas...>;  // clang 14 does not deduce aggregates

mock::VirtualMs moved(mock::VirtualMs relative_ms, mock::VirtualMs now_ms) {
  return relative_ms == mock::no_end ? mock::no_end : now_ms + relative_ms;
}

void set_button(rig::Hands& hands, const SetButton& set) {
  switch (set.button) {
    case Button::start:
      hands.start = set.pressed;
      break;
    case Button::stop:
      hands.stop = set.pressed;
      break;
    case Button::reset:
      hands.reset = set.pressed;
      break;
    case Button::limiter_reset:
      hands.limiter_reset = set.pressed;
      break;
    case Button::estop:
      hands.estop = set.pressed;
      break;
  }
}

}  // namespace

std::optional<std::string> Actor::break_signal(mock::SignalFault fault, rig::Rig& rig) {
  fault.onset_ms = rig.now_ms();
  fault.end_ms = moved(fault.end_ms, rig.now_ms());
  const mock::Injected injected = rig.board().inject(fault);
  if (!injected.id) return std::string(injected.refusal);
  signals_.push_back({fault.point, *injected.id});
  return std::nullopt;
}

void Actor::clear(const Clear& what, rig::Rig& rig) {
  const bool all = !what.point && !what.component;
  std::erase_if(signals_, [&](const InjectedSignal& each) {
    if (!all && each.point != what.point) return false;
    rig.board().clear(each.id);
    return true;
  });
  std::erase_if(components_, [&](const rig::ComponentFault& each) {
    return all || (what.component && each.fault == *what.component);
  });
  rig.clear_component_faults();
  for (const rig::ComponentFault& each : components_) rig.inject(each);
  if (!all) return;
  rig.board().clear_clock_faults();
  rig.board().stop_converter(rig.now_ms(), rig.now_ms());
}

std::optional<std::string> Actor::apply(const Act& act, rig::Rig& rig) {
  using Answer = std::optional<std::string>;
  return std::visit(
      Overloaded{
          [&](const SetButton& set) -> Answer {
            set_button(rig.hands, set);
            return {};
          },
          [&](const MoveDoor& door) -> Answer {
            rig.hands.door_open = door.open;
            if (!door.open) rig.hands.reaching_in = false;
            return {};
          },
          [&](const ReachIn& reach) -> Answer {
            if (reach.in && !rig.door_passable()) {
              return "nobody can reach in: the door is not open far enough";
            }
            rig.hands.reaching_in = reach.in;
            return {};
          },
          [&](const ExchangeLoad&) -> Answer {
            if (rig.exchange_load()) return {};
            return "the load cannot be exchanged: the door is not open far enough";
          },
          [&](const BreakSignal& broken) -> Answer { return break_signal(broken.fault, rig); },
          [&](const BreakComponent& broken) -> Answer {
            rig::ComponentFault fault = broken.fault;
            fault.onset_ms = rig.now_ms();
            fault.end_ms = moved(fault.end_ms, rig.now_ms());
            components_.push_back(fault);
            rig.inject(fault);
            return {};
          },
          [&](const BreakClock& broken) -> Answer {
            mock::ClockFault fault = broken.fault;
            fault.onset_ms = rig.now_ms();
            fault.end_ms = moved(fault.end_ms, rig.now_ms());
            const std::string_view refused = rig.board().inject(fault);
            if (refused.empty()) return {};
            return std::string(refused);
          },
          [&](const StopConverter& stop) -> Answer {
            rig.board().stop_converter(rig.now_ms(), moved(stop.for_ms, rig.now_ms()));
            return {};
          },
          [&](const Clear& what) -> Answer {
            clear(what, rig);
            return {};
          },
          [&](const SwitchPower& power) -> Answer {
            if (power.on && !rig.controller_runs()) rig.power_on();
            if (!power.on && rig.controller_runs()) rig.power_off();
            return {};
          },
          [&](const Stall& stall) -> Answer {
            rig.stall(stall.for_ms);
            return {};
          },
          [&](const FlipStore& flip) -> Answer {
            rig.board().store().flip(flip.offset, std::byte{flip.mask});
            return {};
          },
          [&](const FailStore& fail) -> Answer {
            rig.board().store().set_failing(fail.failing);
            return {};
          },
          [&](const SetSupply& supply) -> Answer {
            rig.surroundings.supply_kPa = supply.kPa.value_or(oven_.oven.plant.supply.pressure_kPa);
            return {};
          },
          [&](const SetAmbient& ambient) -> Answer {
            rig.surroundings.ambient_degC = ambient.degC;
            return {};
          },
          [&](const SetVentilation& ventilation) -> Answer {
            rig.surroundings.ventilation_share = ventilation.share;
            return {};
          }},
      act);
}

std::optional<std::string> Actor::perform(const Action& action, rig::Rig& rig) {
  std::optional<std::string> refused = apply(action.act, rig);
  if (!refused && action.undo) {
    undo_.push_back({rig.now_ms() + action.undo_after_ms, *action.undo});
  }
  return refused;
}

void Actor::undo_due(rig::Rig& rig) {
  if (undo_.empty()) return;
  std::erase_if(undo_, [&](const Undo& each) {
    if (rig.now_ms() < each.at_ms) return false;
    apply(each.act, rig);
    return true;
  });
}

}  // namespace ovenproof::scenario
