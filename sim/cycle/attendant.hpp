#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>

#include "sim/cycle/plan.hpp"
#include "sim/rig/rig.hpp"

namespace ovenproof::cycle {

/// The person at the oven: resets it after power-up, loads it, starts the cycle by the means the
/// machine has, waits, unloads, and does so again. At an open door the attendant stands clear for
/// the airing time, then reaches in for the loading time, in the middle of which the load changes.
/// Does the documented things and nothing clever, unless the plan gives another habit: after a trip
/// he stands back, and resets only if his plan says so.
class Attendant {
 public:
  explicit Attendant(const Plan& plan) : plan_(plan) {}

  /// Before each scan: looks at the oven and moves his hands.
  void act(rig::Rig& rig);

  /// Goes on with another habit.
  void take_on(Habit habit) { plan_.habit = habit; }

  [[nodiscard]] bool done() const { return task_ == Task::done; }
  /// He has opened the door in the middle of a cycle, as the plan says.
  [[nodiscard]] bool opened_abnormally() const { return opened_abnormally_; }
  /// After an abnormal opening: the door is closed again and nobody touches anything.
  [[nodiscard]] bool watching() const { return task_ == Task::watch; }
  /// The oven is loaded and closed, its readings are there, and only the start is missing.
  [[nodiscard]] bool ready_to_start() const { return task_ == Task::press_start; }
  /// The door stands open and the load has been exchanged.
  [[nodiscard]] bool loading() const { return task_ == Task::put_in; }
  /// Why he stopped early; empty if the plan was carried out.
  [[nodiscard]] const std::string& gave_up() const { return gave_up_; }
  [[nodiscard]] std::uint32_t cycles_completed() const { return cycles_; }
  /// What he does, in words, for the timeline.
  [[nodiscard]] const char* doing() const;

 private:
  enum class Task : std::uint8_t {
    reset,
    let_go_of_reset,
    open_to_load,
    air,
    take_out,
    put_in,
    close,
    wait_until_ready,
    open_for_reading,
    press_start,
    let_go_of_start,
    wait_for_end,
    stand_back,
    leave_without_power,
    press_stop,
    hold_emergency_stop,
    open_briefly,
    open_to_unload,
    open_abnormally,
    close_after_abnormal,
    watch,
    done
  };

  void go(Task task, const rig::Rig& rig);
  void give_up(std::string why);
  void work(rig::Rig& rig);
  void exchange_load(rig::Rig& rig, std::uint64_t waited_ms);
  void prepare_reset(rig::Rig& rig);
  void press_and_let_go(rig::Rig& rig, std::uint64_t waited_ms);
  /// Where the attendant presses the emergency stop: each once.
  enum class Danger : std::uint8_t { purge, soak, open_door, count };
  /// True if the emergency stop is pressed now, for that danger.
  bool press_emergency_stop(rig::Rig& rig, Danger danger);
  /// True if the habit has the attendant do something else than wait.
  bool follow_habit(rig::Rig& rig, std::uint64_t waited_ms);
  [[nodiscard]] bool has(Habit habit) const { return plan_.habit == habit; }
  [[nodiscard]] std::uint64_t press_ms() const;
  [[nodiscard]] std::uint64_t loading_ms() const;
  [[nodiscard]] double airing_s(const rig::Rig& rig) const;
  void meet_trip(const rig::Rig& rig);
  void wait_for_end(rig::Rig& rig, std::uint64_t waited_ms);
  [[nodiscard]] bool abnormal_opening_due(const rig::Rig& rig);

  Plan plan_;
  Task task_ = Task::reset;
  mock::VirtualMs since_ms_ = 0;
  mock::VirtualMs phase_since_ms_ = 0;
  mock::VirtualMs resets_since_ms_ = 0;
  mock::VirtualMs loaded_ms_ = 0;            ///< when the door was last proven closed on a load
  std::optional<mock::VirtualMs> asked_ms_;  ///< when the oven first asked to be unloaded
  bool held_ = false;                        ///< has held the button down already
  bool stopped_ = false;                     ///< has pressed stop in this cycle
  bool opened_stopped_ = false;              ///< has opened the door on the load of that cycle
  std::array<bool, static_cast<std::size_t>(Danger::count)> pressed_in_{};
  Task interrupted_ = Task::reset;  ///< by the emergency stop
  bool own_trip_ = false;           ///< the attendant has tripped the oven, and resets it
  logic::Phase phase_ = logic::Phase::tripped;
  std::uint32_t cycles_ = 0;
  std::uint32_t restarts_ = 0;
  bool opened_abnormally_ = false;
  std::string gave_up_;
};

}  // namespace ovenproof::cycle
