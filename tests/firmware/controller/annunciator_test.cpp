#include <initializer_list>

#include <doctest/doctest.h>

#include "bench.hpp"

using namespace ovenproof;
using namespace ovenproof::controller::testing;

namespace {

struct Panel {
  controller::Annunciator annunciator;
  hal::OutputImage out;

  bool may_unload = true;

  void show(const logic::Commands& commands, std::uint32_t buttons = 0, std::uint32_t ms = 10) {
    annunciator.update(commands, buttons, may_unload, Milliseconds(ms), out);
  }
  [[nodiscard]] bool lit(DigitalOut lamp) const { return out.energised(lamp); }
  /// How often the lamp changes in ten seconds of these commands.
  int changes(DigitalOut lamp, const logic::Commands& commands) {
    int seen = 0;
    show(commands);
    bool before = lit(lamp);
    for (int scan = 0; scan < 1'000; ++scan) {
      show(commands);
      seen += lit(lamp) != before ? 1 : 0;
      before = lit(lamp);
    }
    return seen;
  }
};

logic::Commands in(Phase phase, Cause first_out = Cause::none) {
  logic::Commands commands;
  commands.phase = phase;
  commands.first_out = first_out;
  return commands;
}

}  // namespace

TEST_CASE("the run lamp is steady in every phase of the closed cycle and dark out of it") {
  for (const Phase phase : {Phase::purging, Phase::ramp, Phase::soak, Phase::repurging,
                            Phase::cooling, Phase::flushing}) {
    Panel panel;
    CHECK(panel.changes(DigitalOut::run_lamp, in(phase)) == 0);
    CHECK(panel.lit(DigitalOut::run_lamp));
  }
  for (const Phase phase : {Phase::tripped, Phase::standby}) {
    Panel panel;
    CHECK(panel.changes(DigitalOut::run_lamp, in(phase)) == 0);
    CHECK_FALSE(panel.lit(DigitalOut::run_lamp));
  }
}

TEST_CASE("the run lamp flashes once a second while the oven waits to be unloaded") {
  Panel panel;
  CHECK(panel.changes(DigitalOut::run_lamp, in(Phase::unloading)) == 20);
}

TEST_CASE("the permission to unload is withdrawn while the oven is too warm again") {
  Panel panel;
  panel.may_unload = false;
  CHECK(panel.changes(DigitalOut::run_lamp, in(Phase::unloading)) == 0);
  CHECK(panel.lit(DigitalOut::run_lamp));
  panel.may_unload = true;
  CHECK(panel.changes(DigitalOut::run_lamp, in(Phase::unloading)) == 20);
}

TEST_CASE("the flashing of a new trip begins lit, whenever it comes") {
  for (std::uint32_t before = 0; before < 120; before += 7) {
    Panel panel;
    for (std::uint32_t i = 0; i < before; ++i) panel.show(in(Phase::soak));
    for (int scan = 0; scan < 50; ++scan) {
      panel.show(in(Phase::tripped, Cause::emergency_stop));
      CHECK(panel.lit(DigitalOut::fault_lamp));
    }
    panel.show(in(Phase::tripped, Cause::emergency_stop));
    CHECK_FALSE(panel.lit(DigitalOut::fault_lamp));
  }
}

TEST_CASE("a button that sticks silences one trip, not the next") {
  Panel panel;
  constexpr std::uint32_t stuck = 2, other = 4;
  panel.show(in(Phase::tripped, Cause::emergency_stop), stuck);
  CHECK_FALSE(panel.lit(DigitalOut::horn));
  panel.show(in(Phase::tripped, Cause::over_temperature), stuck);
  CHECK(panel.lit(DigitalOut::horn));
  panel.show(in(Phase::tripped, Cause::over_temperature), stuck | other);
  CHECK_FALSE(panel.lit(DigitalOut::horn));
}

TEST_CASE("a trip flashes and sounds until a button is pressed, then shines steadily until reset") {
  Panel panel;
  const logic::Commands tripped = in(Phase::tripped, Cause::emergency_stop);
  CHECK(panel.changes(DigitalOut::fault_lamp, tripped) == 20);
  CHECK(panel.lit(DigitalOut::horn));
  panel.show(tripped, 1);
  CHECK_FALSE(panel.lit(DigitalOut::horn));
  CHECK(panel.lit(DigitalOut::fault_lamp));
  CHECK(panel.changes(DigitalOut::fault_lamp, tripped) == 0);
  CHECK(panel.lit(DigitalOut::fault_lamp));
  CHECK_FALSE(panel.lit(DigitalOut::horn));
  panel.show(in(Phase::standby));
  CHECK_FALSE(panel.lit(DigitalOut::fault_lamp));
}

TEST_CASE("the same trip sounds again after it was reset") {
  Panel panel;
  panel.show(in(Phase::tripped, Cause::emergency_stop), 1);
  CHECK_FALSE(panel.lit(DigitalOut::horn));
  panel.show(in(Phase::standby));
  panel.show(in(Phase::tripped, Cause::emergency_stop));
  CHECK(panel.lit(DigitalOut::horn));
}

TEST_CASE("power-up shines and does not sound, a watchdog restart does") {
  Panel panel;
  CHECK(panel.changes(DigitalOut::fault_lamp, in(Phase::tripped, Cause::power_up)) == 0);
  CHECK(panel.lit(DigitalOut::fault_lamp));
  CHECK_FALSE(panel.lit(DigitalOut::horn));
  Panel restarted;
  restarted.show(in(Phase::tripped, Cause::watchdog_restart));
  CHECK(restarted.lit(DigitalOut::horn));
}

TEST_CASE("without a trip there is neither fault lamp nor horn, whatever is pressed") {
  Panel panel;
  for (const std::uint32_t button : {0U, 1U, 0U}) {
    panel.show(in(Phase::soak), button);
    CHECK_FALSE(panel.lit(DigitalOut::fault_lamp));
    CHECK_FALSE(panel.lit(DigitalOut::horn));
  }
}

TEST_CASE("the annunciator moves nothing but lamps and horn") {
  Panel panel;
  panel.out.coils = 0x7F;
  panel.out.heater_permille = 321;
  panel.show(in(Phase::tripped, Cause::emergency_stop), 1);
  CHECK((panel.out.coils & 0x7FU) == 0x7FU);
  CHECK(panel.out.heater_permille == 321);
}

TEST_CASE("on the board: an emergency stop sounds, and each button silences it") {
  for (const DigitalIn button :
       {DigitalIn::start_button, DigitalIn::stop_button, DigitalIn::reset_button}) {
    Bench bench;
    bench.run(3'000);
    bench.reset();
    REQUIRE(bench.phase() == Phase::standby);
    CHECK_FALSE(bench.lit(DigitalOut::horn));
    bench.field.set(DigitalIn::estop_healthy, false);
    bench.run(100);
    CHECK(bench.first_out() == Cause::emergency_stop);
    CHECK(bench.lit(DigitalOut::horn));
    bench.field.set(button, button != DigitalIn::stop_button);
    bench.run(100);
    CHECK_FALSE(bench.lit(DigitalOut::horn));
    bench.field.set(button, button == DigitalIn::stop_button);
    bench.run(100);
    CHECK_FALSE(bench.lit(DigitalOut::horn));
    CHECK(bench.lit(DigitalOut::fault_lamp));
  }
}
