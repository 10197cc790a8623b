#include "sim/cycle/attendant.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "firmware/logic/matrix.hpp"

namespace ovenproof::cycle {
namespace {

constexpr std::uint64_t usual_press_ms = 300;
constexpr std::uint64_t held_press_ms = 60'000;
constexpr std::uint64_t quick_loading_ms = 30'000;
constexpr double quick_airing_s = 30.0;
constexpr std::uint64_t without_power_ms = 10'000;
constexpr std::uint64_t late_ms = 2 * 3'600'000;
constexpr std::uint64_t stop_after_ms = 60'000;
constexpr std::uint64_t brief_open_ms = 10'000;
constexpr std::uint64_t emergency_after_ms = 30'000;
constexpr std::uint64_t emergency_stop_held_ms = 30'000;
constexpr std::uint64_t lamp_patience_ms = 600'000;  ///< then the door is opened all the same
constexpr std::uint64_t start_patience_ms = 2'000;
constexpr std::uint64_t door_patience_ms = 60'000;
constexpr std::uint64_t cycle_patience_ms = 7ULL * 24 * 3'600'000;
constexpr std::uint64_t abnormal_open_ms = 10'000;

/// The run lamp of an oven that waits to be unloaded flashes if the door may be opened, and is
/// steady if not yet, or no longer.
bool shows_permission(const rig::Rig& rig) {
  return !rig.board().field_outputs().energised(hal::DigitalOut::run_lamp);
}

/// The trips whose causes are there now, as the operator reads them.
std::string trips_present(const controller::Controller& controller) {
  std::string text;
  for (std::size_t i = 0; i < logic::first_inhibit; ++i) {
    if ((controller.present_causes() >> i & 1U) == 0) continue;
    const auto cause = static_cast<logic::Cause>(i);
    text += fmt::format("{}{}", text.empty() ? "" : "; ", logic::row_of(cause).text);
  }
  return text;
}

}  // namespace

const char* Attendant::doing() const {
  switch (task_) {
    case Task::reset:
    case Task::let_go_of_reset:
      return "presses reset";
    case Task::open_to_load:
      return "opens the door to load";
    case Task::air:
      return "stands clear while the chamber airs";
    case Task::take_out:
      return "reaches in and unloads";
    case Task::put_in:
      return "reaches in and loads";
    case Task::close:
      return "closes the door";
    case Task::wait_until_ready:
      return "waits until the oxygen reading is valid";
    case Task::open_for_reading:
      return "opens the door until the oxygen monitor reads air";
    case Task::press_start:
    case Task::let_go_of_start:
      return "presses start";
    case Task::wait_for_end:
      return "waits";
    case Task::stand_back:
      return "stands back from the tripped oven";
    case Task::leave_without_power:
      return "switches the oven off and on again";
    case Task::press_stop:
      return "presses stop";
    case Task::hold_emergency_stop:
      return "holds the emergency stop in";
    case Task::open_briefly:
      return "opens the door for a moment";
    case Task::open_to_unload:
      return "opens the door to unload";
    case Task::open_abnormally:
      return "opens the door in the middle of the cycle";
    case Task::close_after_abnormal:
      return "closes the door again";
    case Task::watch:
      return "watches, touching nothing";
    case Task::done:
      break;
  }
  return "is done";
}

void Attendant::go(Task task, const rig::Rig& rig) {
  task_ = task;
  since_ms_ = rig.now_ms();
}

void Attendant::give_up(std::string why) {
  gave_up_ = std::move(why);
  task_ = Task::done;
}

void Attendant::meet_trip(const rig::Rig& rig) {
  if (own_trip_) {
    own_trip_ = false;
    go(Task::stand_back, rig);
    return;
  }
  if (restarts_ < plan_.restarts) {
    ++restarts_;
    go(Task::stand_back, rig);
    return;
  }
  const logic::Cause first_out = rig.controller().commands().first_out;
  give_up(fmt::format("the oven tripped: {}", logic::row_of(first_out).text));
}

bool Attendant::abnormal_opening_due(const rig::Rig& rig) {
  return plan_.open_door_in && phase_ == *plan_.open_door_in &&
         rig.now_ms() - phase_since_ms_ >= plan_.open_after_s * 1000ULL;
}

std::uint64_t Attendant::press_ms() const {
  return has(Habit::button_holder) && !held_ ? held_press_ms : usual_press_ms;
}

std::uint64_t Attendant::loading_ms() const {
  const std::uint64_t planned_ms = plan_.loading_s * 1000ULL;
  return has(Habit::quick_reloader) ? std::min(quick_loading_ms, planned_ms) : planned_ms;
}

double Attendant::airing_s(const rig::Rig& rig) const {
  if (has(Habit::impatient)) return 0.0;
  const double planned_s = plan_.airing_s.value_or(rig.plant().parameters().people.airing_s);
  return has(Habit::quick_reloader) ? std::min(quick_airing_s, planned_s) : planned_s;
}

bool Attendant::follow_habit(rig::Rig& rig, std::uint64_t waited_ms) {
  const std::uint64_t in_phase_ms = rig.now_ms() - phase_since_ms_;
  switch (plan_.habit) {
    case Habit::impatient:
    case Habit::button_holder:
      if (phase_ != logic::Phase::standby || waited_ms <= start_patience_ms) return false;
      if (rig.now_ms() - loaded_ms_ > plan_.ready_patience_s * 1000ULL) return false;
      go(Task::press_start, rig);
      return true;
    case Habit::late:
      if (phase_ != logic::Phase::unloading) return false;
      if (!asked_ms_) asked_ms_ = rig.now_ms();
      return rig.now_ms() - *asked_ms_ < late_ms;
    case Habit::stop_and_start:
      if (phase_ == logic::Phase::ramp && !stopped_ && in_phase_ms >= stop_after_ms) {
        stopped_ = true;
        go(Task::press_stop, rig);
        return true;
      }
      if ((phase_ == logic::Phase::unloading || phase_ == logic::Phase::standby) && stopped_ &&
          !opened_stopped_) {
        opened_stopped_ = true;
        rig.hands.door_open = true;
        go(Task::open_briefly, rig);
        return true;
      }
      return false;
    case Habit::emergency_stopper:
      if (in_phase_ms < emergency_after_ms) return false;
      return (phase_ == logic::Phase::purging && press_emergency_stop(rig, Danger::purge)) ||
             (phase_ == logic::Phase::soak && press_emergency_stop(rig, Danger::soak));
    default:
      return false;
  }
}

bool Attendant::press_emergency_stop(rig::Rig& rig, Danger danger) {
  bool& pressed = pressed_in_[static_cast<std::size_t>(danger)];
  if (pressed) return false;
  pressed = true;
  interrupted_ = task_;
  rig.hands.estop = true;
  go(Task::hold_emergency_stop, rig);
  return true;
}

void Attendant::wait_for_end(rig::Rig& rig, std::uint64_t waited_ms) {
  if (follow_habit(rig, waited_ms)) return;
  if (abnormal_opening_due(rig)) {
    rig.hands.door_open = true;
    opened_abnormally_ = true;
    go(Task::open_abnormally, rig);
  } else if (phase_ == logic::Phase::tripped) {
    meet_trip(rig);
  } else if (phase_ == logic::Phase::unloading &&
             (shows_permission(rig) || has(Habit::impatient) ||
              rig.now_ms() - phase_since_ms_ > lamp_patience_ms)) {
    ++cycles_;
    stopped_ = opened_stopped_ = false;
    asked_ms_.reset();
    rig.hands.door_open = true;
    go(Task::open_to_unload, rig);
  } else if (phase_ == logic::Phase::standby && waited_ms > start_patience_ms) {
    give_up("the cycle did not start, or ended without asking to be unloaded");
  } else if (waited_ms > cycle_patience_ms) {
    give_up("the cycle had not ended after a week");
  }
}

void Attendant::exchange_load(rig::Rig& rig, std::uint64_t waited_ms) {
  if (has(Habit::emergency_stopper) && cycles_ > 0 &&
      press_emergency_stop(rig, Danger::open_door)) {
    return;
  }
  if (waited_ms < loading_ms() / 2) return;
  if (rig.exchange_load()) go(Task::put_in, rig);
}

void Attendant::prepare_reset(rig::Rig& rig) {
  if (has(Habit::power_cycler)) {
    rig.power_off();
    go(Task::leave_without_power, rig);
    return;
  }
  held_ = false;
  resets_since_ms_ = rig.now_ms();
  go(Task::reset, rig);
}

void Attendant::press_and_let_go(rig::Rig& rig, std::uint64_t waited_ms) {
  rig.hands.stop = waited_ms < usual_press_ms;
  if (!rig.hands.stop) go(Task::wait_for_end, rig);
}

void Attendant::act(rig::Rig& rig) {
  if (done()) return;
  if (task_ == Task::leave_without_power) {
    if (rig.now_ms() - since_ms_ < without_power_ms) return;
    if (!rig.controller_runs()) rig.power_on();
    resets_since_ms_ = rig.now_ms();
    go(Task::reset, rig);
  }
  if (rig.controller_runs()) work(rig);
  rig.hands.reaching_in =
      rig.controller_runs() && (task_ == Task::take_out || task_ == Task::put_in);
}

void Attendant::work(rig::Rig& rig) {
  const logic::Phase phase = rig.controller().commands().phase;
  if (phase != phase_) {
    phase_ = phase;
    phase_since_ms_ = rig.now_ms();
  }
  const std::uint64_t waited_ms = rig.now_ms() - since_ms_;

  switch (task_) {
    case Task::reset:
      rig.hands.reset = true;
      if (waited_ms < press_ms()) break;
      held_ = has(Habit::button_holder);
      go(Task::let_go_of_reset, rig);
      break;
    case Task::let_go_of_reset:
      rig.hands.reset = false;
      if (phase == logic::Phase::standby && loaded_ms_ > 0) {
        go(Task::wait_until_ready, rig);
      } else if (phase == logic::Phase::standby) {
        rig.hands.door_open = true;
        go(Task::open_to_load, rig);
      } else if (rig.now_ms() - resets_since_ms_ >
                 plan_.reset_patience_s * 1000ULL + (held_ ? held_press_ms : 0)) {
        const std::string causes = trips_present(rig.controller());
        give_up(fmt::format("the oven could not be reset{}{}", causes.empty() ? "" : ": ", causes));
      } else if (waited_ms >= usual_press_ms) {
        go(Task::reset, rig);
      }
      break;
    case Task::open_to_load:
    case Task::open_to_unload:
      if (rig.door_passable()) go(Task::air, rig);
      break;
    case Task::air:
      if (static_cast<double>(waited_ms) >= airing_s(rig) * 1000.0) go(Task::take_out, rig);
      break;
    case Task::take_out:
      exchange_load(rig, waited_ms);
      break;
    case Task::put_in:
      if (waited_ms < loading_ms() / 2) break;
      if (cycles_ >= plan_.cycles) {
        go(Task::done, rig);
        break;
      }
      rig.hands.door_open = false;
      go(Task::close, rig);
      break;
    case Task::close:
      if (!rig.controller().facts().get(logic::Fact::door_closed)) {
        if (waited_ms > door_patience_ms) give_up("the door was not proven closed");
        break;
      }
      loaded_ms_ = rig.now_ms();
      held_ = false;
      // The door may have started it; the scan that sees it closed has answered already.
      go(phase == logic::Phase::standby ? Task::wait_until_ready : Task::wait_for_end, rig);
      break;
    case Task::wait_until_ready:
      if (has(Habit::impatient) || !rig.controller().configuration().options.oxygen_monitor ||
          (rig.controller().facts().get(logic::Fact::oxygen_valid) &&
           rig.controller().facts().get(logic::Fact::oxygen_has_read_air))) {
        go(Task::press_start, rig);
      } else if (phase == logic::Phase::tripped) {
        meet_trip(rig);
      } else if (rig.controller().facts().get(logic::Fact::oxygen_valid) &&
                 rig.controller().facts().get(logic::Fact::cool_to_unload) &&
                 !rig.controller().commands().outputs.has(logic::Output::process_valve)) {
        rig.hands.door_open = true;  // it reads cool and nothing is under gas: let air in
        go(Task::open_for_reading, rig);
      } else if (waited_ms > plan_.ready_patience_s * 1000ULL) {
        give_up("the oxygen reading did not become valid");
      }
      break;
    case Task::open_for_reading:
      if (rig.controller().facts().get(logic::Fact::oxygen_has_read_air)) {
        rig.hands.door_open = false;
        go(Task::close, rig);
      } else if (waited_ms > plan_.ready_patience_s * 1000ULL) {
        give_up("the oxygen monitor did not read air with the door open");
      }
      break;
    case Task::press_start:
      rig.hands.start = true;
      if (waited_ms < press_ms()) break;
      held_ = has(Habit::button_holder);
      go(Task::let_go_of_start, rig);
      break;
    case Task::let_go_of_start:
      rig.hands.start = false;
      go(Task::wait_for_end, rig);
      break;
    case Task::wait_for_end:
      wait_for_end(rig, waited_ms);
      break;
    case Task::stand_back:
      if (waited_ms < plan_.stand_back_s * 1000ULL && !has(Habit::impatient)) break;
      prepare_reset(rig);
      break;
    case Task::leave_without_power:
      break;
    case Task::press_stop:
      press_and_let_go(rig, waited_ms);
      break;
    case Task::hold_emergency_stop:
      if (waited_ms < emergency_stop_held_ms) break;
      rig.hands.estop = false;
      own_trip_ = phase == logic::Phase::tripped;
      go(interrupted_, rig);
      break;
    case Task::open_briefly:
      if (waited_ms < brief_open_ms) break;
      rig.hands.door_open = false;
      go(Task::close, rig);
      break;
    case Task::open_abnormally:
      if (waited_ms < abnormal_open_ms) break;
      rig.hands.door_open = false;
      go(Task::close_after_abnormal, rig);
      break;
    case Task::close_after_abnormal:
      if (rig.controller().facts().get(logic::Fact::door_closed)) {
        go(Task::watch, rig);
      } else if (waited_ms > door_patience_ms) {
        give_up("the door was not proven closed");
      }
      break;
    case Task::watch:
      if (waited_ms >= plan_.watch_s * 1000ULL) go(Task::done, rig);
      break;
    case Task::done:
      break;
  }
}

}  // namespace ovenproof::cycle
