#include "sim/cycle/habit.hpp"

#include <algorithm>
#include <string>

#include <doctest/doctest.h>

#include "oven_rig.hpp"
#include "sim/cycle/attendant.hpp"

using namespace ovenproof;
using cycle::Habit;
using logic::Phase;
using rig::testing::quick_oven;

namespace {

Phase phase_in(const rig::Rig& rig) {
  return rig.controller_runs() ? rig.controller().commands().phase : Phase::tripped;
}

/// What an attendant of that habit does at an oven, measured scan by scan.
struct Watched {
  std::uint32_t cycles = 0;
  std::string gave_up;
  double longest_open_s = 0.0;
  double shortest_open_s = 1e9;
  double longest_start_s = 0.0;
  double longest_reset_s = 0.0;
  double longest_stop_s = 0.0;
  int stops = 0;
  int emergency_stops = 0;
  double longest_emergency_s = 0.0;
  bool stopped_while_reaching_in = false;
  double unloading_s = 0.0;  ///< the longest wait in unloading
  double without_power_s = 0.0;
  double tripped_to_reset_s = 0.0;  ///< of a trip in the cycle
  double to_reaching_in_s = 1e9;    ///< shortest time from the order to open to reaching in
};

Watched watch(Habit habit, bool trips = false, bool lamp_steady = false) {
  Watched seen;
  rig::Rig rig(quick_oven());
  if (lamp_steady) {
    rig.board().inject(
        {.point = hal::DigitalOut::run_lamp, .effect = mock::ShortCircuit{}, .onset_ms = 0});
  }
  cycle::Attendant attendant({.cycles = 2, .restarts = 1, .stand_back_s = 120, .habit = habit});
  double open_s = 0.0, start_s = 0.0, reset_s = 0.0, stop_s = 0.0, unloading_s = 0.0;
  double emergency_s = 0.0;
  double tripped_s = 0.0;
  bool tripped = false;
  bool broken = false;
  const auto lasts = [](bool now, double& s, double& longest) {
    s = now ? s + 0.01 : 0.0;
    longest = std::max(longest, s);
  };
  while (!attendant.done() && rig.now_ms() < 48ULL * 3'600'000) {
    attendant.act(rig);
    const bool was_open = open_s > 0.0;
    const double was_s = open_s;
    lasts(rig.hands.door_open, open_s, seen.longest_open_s);
    if (was_open && open_s == 0.0) seen.shortest_open_s = std::min(seen.shortest_open_s, was_s);
    if (rig.hands.reaching_in && open_s > 0.0) {
      seen.to_reaching_in_s = std::min(seen.to_reaching_in_s, open_s);
    }
    lasts(rig.hands.start, start_s, seen.longest_start_s);
    lasts(rig.hands.reset, reset_s, seen.longest_reset_s);
    seen.stops += rig.hands.stop && stop_s == 0.0;
    lasts(rig.hands.stop, stop_s, seen.longest_stop_s);
    seen.emergency_stops += rig.hands.estop && emergency_s == 0.0;
    lasts(rig.hands.estop, emergency_s, seen.longest_emergency_s);
    seen.stopped_while_reaching_in |= rig.hands.estop && rig.hands.reaching_in;
    lasts(phase_in(rig) == Phase::unloading && !rig.hands.door_open, unloading_s, seen.unloading_s);
    if (!rig.controller_runs()) seen.without_power_s += 0.01;
    if (trips && !broken && phase_in(rig) == Phase::soak) {
      broken = true;
      rig.inject({plant::Fault::fan_stopped, 1.0, rig.now_ms(), 0, rig.now_ms() + 20'000});
    }
    if (broken && phase_in(rig) == Phase::tripped) tripped = true;
    if (tripped && !rig.hands.reset && seen.tripped_to_reset_s == 0.0) tripped_s += 0.01;
    if (tripped && rig.hands.reset && seen.tripped_to_reset_s == 0.0) {
      seen.tripped_to_reset_s = tripped_s;
    }
    rig.step();
  }
  seen.cycles = attendant.cycles_completed();
  seen.gave_up = attendant.gave_up();
  return seen;
}

}  // namespace

TEST_CASE("habits have names that are found, and say what they do") {
  for (const cycle::HabitInfo& each : cycle::habit_table) {
    CHECK(cycle::find_habit(each.name) == each.habit);
    CHECK(each.meaning.size() > 20);
  }
  CHECK_FALSE(cycle::find_habit("careless").has_value());
}

TEST_CASE("every attendant comes through the cycles of a sound oven, each in a way of their own") {
  const Watched usual = watch(Habit::usual);
  CHECK(usual.longest_start_s == doctest::Approx(0.3).epsilon(0.1));
  CHECK(usual.longest_open_s > 200.0);
  CHECK(usual.unloading_s < 1.0);
  CHECK(usual.stops == 0);
  for (const cycle::HabitInfo& each : cycle::habit_table) {
    CAPTURE(std::string(each.name));
    const Watched seen = watch(each.habit);
    CHECK(seen.gave_up == "");
    CHECK(seen.cycles == 2);
    CHECK((seen.longest_open_s < 65.0) == (each.habit == Habit::quick_reloader));
    CHECK((seen.longest_start_s > 59.0) == (each.habit == Habit::button_holder));
    CHECK((seen.longest_reset_s > 59.0) == (each.habit == Habit::button_holder));
    CHECK((seen.to_reaching_in_s < 5.0) == (each.habit == Habit::impatient));
    CHECK((seen.unloading_s > 7190.0) == (each.habit == Habit::late));
    CHECK(seen.stops == (each.habit == Habit::stop_and_start ? 2 : 0));
    CHECK((seen.shortest_open_s < 12.0) == (each.habit == Habit::stop_and_start));
    const bool emergencies = each.habit == Habit::emergency_stopper;
    CHECK(seen.emergency_stops == (emergencies ? 3 : 0));
    CHECK(seen.longest_emergency_s == doctest::Approx(emergencies ? 30.0 : 0.0).epsilon(0.02));
    CHECK_FALSE(seen.stopped_while_reaching_in);
    CHECK(seen.without_power_s == 0.0);
  }
}

TEST_CASE(
    "the door is opened when the lamp flashes, at a steady one after ten minutes or at once") {
  CHECK(watch(Habit::usual, false, true).unloading_s == doctest::Approx(600.0).epsilon(0.01));
  CHECK(watch(Habit::impatient, false, true).unloading_s < 1.0);
}

TEST_CASE("after a trip one stands back, one does not, one switches the power off and on") {
  const Watched usual = watch(Habit::usual, true);
  CHECK(usual.tripped_to_reset_s == doctest::Approx(120.0).epsilon(0.02));
  CHECK(usual.without_power_s == 0.0);
  CHECK(usual.cycles == 2);
  CHECK(watch(Habit::impatient, true).tripped_to_reset_s < 1.0);
  const Watched cycler = watch(Habit::power_cycler, true);
  CHECK(cycler.without_power_s == doctest::Approx(10.0).epsilon(0.02));
  CHECK(cycler.tripped_to_reset_s == doctest::Approx(130.0).epsilon(0.02));
  CHECK(cycler.cycles == 2);
}
