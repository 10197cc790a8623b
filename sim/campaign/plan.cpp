#include "sim/campaign/plan.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "sim/campaign/branch.hpp"
#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/instants.hpp"
#include "sim/machine/keys.hpp"

namespace ovenproof::campaign {
namespace {

std::size_t random_instants(std::size_t least) { return least > 40 ? least - 34 : 6; }

std::string realisation_text(const Realisation& how) {
  std::string text(name(how.onset));
  for (const scenario::Action& action : how.actions) text += fmt::format(" [{}]", action.text);
  return text;
}

std::string modes_text(const std::vector<Mode>& modes) {
  std::string text;
  for (const Mode& mode : modes) {
    text += fmt::format("mode {}{}:", mode.id, mode.excluded ? " excluded" : "");
    for (const Realisation& how : mode.realisations) text += ' ' + realisation_text(how);
    for (const logic::Cause cause : mode.right_first_outs) {
      text += fmt::format(" {}", logic::row_of(cause).key);
    }
    text += '\n';
  }
  return text;
}

/// When another attendant takes over, with a failure: in the phase before the first thing that this
/// one does otherwise, and in each phase in which something is done once.
std::vector<logic::Phase> takes_over_in(cycle::Habit habit) {
  switch (habit) {
    case cycle::Habit::stop_and_start:
      return {logic::Phase::purging};
    case cycle::Habit::power_cycler:
    case cycle::Habit::button_holder:
      return {logic::Phase::soak};
    case cycle::Habit::emergency_stopper:
      return {logic::Phase::purging, logic::Phase::soak, logic::Phase::unloading};
    default:
      return {logic::Phase::cooling};
  }
}

/// Whether what is done to the oven may keep an emergency stop from ending heat, gas or motion.
bool outlasts_emergency_stop(const scenario::Act& act) {
  using plant::Fault;
  if (const auto* signal = std::get_if<scenario::BreakSignal>(&act)) {
    const mock::Point point = signal->fault.point;
    return point == mock::Point(hal::DigitalIn::estop_healthy) ||
           point.point_class() == mock::PointClass::digital_out;
  }
  if (const auto* component = std::get_if<scenario::BreakComponent>(&act)) {
    switch (component->fault.fault) {
      case Fault::purge_valve_stuck_open:
      case Fault::process_valve_stuck_open:
      case Fault::chain_estop_bridged:
      case Fault::estop_contact_2_bridged:
      case Fault::k1_welded:
      case Fault::k2_welded:
      case Fault::k1_pole_welded:
      case Fault::k2_pole_welded:
        return true;
      default:
        return false;
    }
  }
  return false;
}

/// Whether a failure may end otherwise with an attendant of that habit. How long the door is open
/// and how long the oven waits for it makes a difference to what holds or measures gas, to what
/// shows the door, and to the controller; an emergency stop to its read-back, to what may stay on,
/// and to the controller; every trip is reset, and every cycle is started.
bool minds(const Mode& mode, cycle::Habit habit) {
  using K = ComponentKind;
  if (habit == cycle::Habit::emergency_stopper) {
    return mode.kind == K::controller ||
           std::ranges::any_of(mode.realisations, [](const Realisation& how) {
             return std::ranges::any_of(how.actions, [](const scenario::Action& action) {
               return outlasts_emergency_stop(action.act);
             });
           });
  }
  if (habit != cycle::Habit::quick_reloader && habit != cycle::Habit::late) return true;
  const bool of_the_door =
      std::ranges::find(mode.right_first_outs, logic::Cause::door_contacts_disagree) !=
      mode.right_first_outs.end();
  return of_the_door || mode.component == "door" || mode.kind == K::controller ||
         states_of(mode).oxygen;
}

/// The instants of the other attendants, added to the plan's.
std::vector<std::size_t> add_attendants(Plan& plan) {
  std::vector<std::size_t> added;
  for (const cycle::HabitInfo& each : cycle::habit_table) {
    if (each.habit == cycle::Habit::usual) continue;
    for (const logic::Phase phase : takes_over_in(each.habit)) {
      const std::string id = fmt::format("1.{}.middle", logic::name_of(phase));
      const auto found = std::ranges::find(plan.instants, id, &Instant::id);
      if (found == plan.instants.end()) continue;
      Instant instant = *found;
      instant.id = id_with(id, each.habit);
      instant.attendant = each.habit;
      added.push_back(plan.instants.size());
      plan.instants.push_back(std::move(instant));
    }
  }
  return added;
}

}  // namespace

std::string id_with(std::string_view id, cycle::Habit attendant) {
  return fmt::format("{}/{}", id, cycle::info(attendant).name);
}

cycle::Habit attendant_of(std::string_view id) {
  const std::size_t slash = id.find('/');
  if (slash == std::string_view::npos) return cycle::Habit::usual;
  return cycle::find_habit(id.substr(slash + 1)).value_or(cycle::Habit::usual);
}

Plan make_plan(const Nominal& nominal, const PlanOptions& options) {
  Plan plan;
  plan.modes = catalogue(nominal.oven().machine);
  plan.demands = demands();
  const Instants instants =
      choose_instants(nominal, random_instants(options.instants), options.seed);
  plan.instants = instants.all;
  const std::vector<std::size_t> attendants = add_attendants(plan);
  for (std::size_t m = 0; m < plan.modes.size(); ++m) {
    const Mode& mode = plan.modes[m];
    if (mode.excluded) continue;
    const auto chosen = instants_of_mode(instants, m, states_of(mode), options.instants);
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      Injection injection;
      injection.number = plan.injections.size();
      injection.mode = m;
      injection.realisation = i % mode.realisations.size();
      injection.instant = chosen[i];
      plan.injections.push_back(injection);
    }
    const auto abrupt = std::ranges::find(mode.realisations, Onset::abrupt, &Realisation::onset);
    if (abrupt == mode.realisations.end()) continue;
    for (const std::size_t instant : attendants) {
      if (!minds(mode, plan.instants[instant].attendant)) continue;
      Injection injection;
      injection.number = plan.injections.size();
      injection.mode = m;
      injection.realisation = static_cast<std::size_t>(abrupt - mode.realisations.begin());
      injection.instant = instant;
      plan.injections.push_back(injection);
    }
  }
  plan.singles = plan.injections.size();
  return plan;
}

Part first_of(const Plan& plan, const Injection& injection) {
  const Mode& mode = plan.modes[injection.mode];
  return {mode, mode.realisations[injection.realisation], plan.instants[injection.instant]};
}

Part second_of(const Plan& plan, const Injection& injection) {
  const Injection::Second& second = *injection.second;
  const Mode& mode = second.demand ? plan.demands[second.mode] : plan.modes[second.mode];
  return {mode, mode.realisations[second.realisation], plan.instants[second.instant]};
}

std::string inputs_text(const Plan& plan, const scenario::OvenContext& oven,
                        const PlanOptions& options) {
  std::string text = fmt::format("instants {}\nseed {}\n", options.instants, options.seed);
  const machine::Machine& machine = oven.machine;
  for (const machine::Key& key : machine::all_keys()) {
    if (!machine::has_part(key.part, machine.settings.options)) continue;
    const machine::List* list = machine::list_of(key.path);
    const std::size_t items = list != nullptr ? list->size(machine) : 1;
    for (std::size_t i = 0; i < items; ++i) {
      text += fmt::format("{}[{}]: {}\n", key.path, i, machine::value_text(key, machine, i));
    }
  }
  text += modes_text(plan.modes);
  text += modes_text(plan.demands);
  for (const Instant& instant : plan.instants) {
    text += fmt::format("instant {} {}\n", instant.id, instant.scan);
  }
  return text;
}

}  // namespace ovenproof::campaign
