#pragma once
#include <cstdint>
#include <functional>
#include <stdexcept>

#include "sim/rig/field_wiring.hpp"
#include "sim/rig/rig.hpp"

/// An oven with a short cycle, and hands on it, for tests of whatever drives a rig.
namespace ovenproof::rig::testing {

/// A small, quick oven: test fixture, no real machine. Purges, heats a light load to 120 degC,
/// soaks a minute, cools: some twenty minutes.
inline Oven quick_oven() {
  Oven oven;
  oven.plant.supply.purge_L_per_min = 200.0;
  oven.plant.supply.process_L_per_min = 20.0;
  oven.plant.room.air_changes_per_h = 20.0;
  oven.plant.load.mass_kg = 5.0;
  oven.plant.load.oxidation_temperature_degC = 90.0;
  oven.plant.limiter.set_point_degC = 400.0;
  oven.plant.people.handling_temperature_degC = 80.0;
  oven.initial.oxygen_cell_warm = true;
  settings::Settings& s = oven.settings;
  s.purge.purge_flow = LitresPerMinute(200.0F);
  s.purge.process_flow = LitresPerMinute(20.0F);
  s.oxygen.cell_settle = Milliseconds(10'000);
  s.programme.segments[0].target = Celsius(120.0F);
  s.programme.segments[0].ramp_K_per_min = 20.0F;
  s.programme.segments[0].soak = Milliseconds(60'000);
  s.control.gain_per_K = 0.1F;
  s.control.integral_time = Milliseconds(200'000);
  s.temperature.high_limit = Celsius(350.0F);
  s.cooling.settled_shrink = LitresPerMinute(2.0F);
  return oven;
}

/// The rig's hands, worked by a test.
class OvenAtHand {
 public:
  explicit OvenAtHand(const Oven& oven = quick_oven()) : rig(oven) {}

  void run_s(double seconds) {
    const auto scans = static_cast<long>(seconds * 1000.0 / rig.period_ms() + 0.5);
    for (long i = 0; i < scans; ++i) scan();
  }
  void scan() {
    rig.step();
    if (after_scan) after_scan(rig);
  }
  void press(bool Hands::*button) {
    rig.hands.*button = true;
    run_s(0.3);
    rig.hands.*button = false;
    run_s(0.3);
  }
  /// From power-up to standby.
  void reset() {
    run_s(1.0);
    press(&Hands::reset);
  }
  /// From power-up into a cycle, by the button.
  void start() {
    reset();
    for (int s = 0; s < 120 && !fact(logic::Fact::oxygen_valid); ++s) run_s(1.0);
    press(&Hands::start);
  }
  /// Runs until the phase is reached; false if it is not within `limit_s`.
  bool run_until(logic::Phase wanted, double limit_s = 7200.0) {
    const std::uint64_t end_ms = rig.now_ms() + static_cast<std::uint64_t>(limit_s * 1000.0);
    while (phase() != wanted && rig.now_ms() < end_ms) scan();
    return phase() == wanted;
  }
  /// From power-up into that phase of a cycle.
  bool start_and_reach(logic::Phase wanted) {
    start();
    return run_until(wanted);
  }

  void break_component(plant::Fault fault, double severity = 1.0) {
    rig.inject(ComponentFault{fault, severity, rig.now_ms()});
  }
  void break_wire(mock::Point point, const mock::Effect& effect) {
    if (!rig.board().inject({point, effect, rig.now_ms()}).id) {
      throw std::logic_error("no such fault on that point");
    }
  }

  [[nodiscard]] bool fact(logic::Fact which) const { return rig.controller().facts().get(which); }
  [[nodiscard]] logic::Phase phase() const { return rig.controller().commands().phase; }
  [[nodiscard]] logic::Cause first_out() const { return rig.controller().commands().first_out; }
  [[nodiscard]] bool energised() const { return anything_energised(rig.board().field_outputs()); }

  Rig rig;
  std::function<void(const Rig&)> after_scan;  ///< who watches, if anybody
};

}  // namespace ovenproof::rig::testing
