#include <array>

#include <doctest/doctest.h>

#include "oven_rig.hpp"

using namespace ovenproof;
using hal::DigitalOut;
using logic::Cause;
using logic::Phase;
using rig::Hands;
using rig::testing::OvenAtHand;
using rig::testing::quick_oven;

namespace {

constexpr std::array cycle_phases{Phase::purging, Phase::ramp, Phase::soak, Phase::cooling,
                                  Phase::unloading};

}  // namespace

TEST_CASE("a rig is born with power, tripped, and nothing energised") {
  OvenAtHand oven;
  CHECK(oven.rig.controller_runs());
  oven.run_s(5.0);
  CHECK(oven.phase() == Phase::tripped);
  CHECK(oven.first_out() == Cause::power_up);
  CHECK_FALSE(oven.energised());
}

TEST_CASE("power that fails in any phase and returns starts nothing but the gas of a hot load") {
  for (const Phase phase : cycle_phases) {
    CAPTURE(logic::name_of(phase));
    OvenAtHand oven;
    REQUIRE(oven.start_and_reach(phase));
    oven.run_s(5.0);
    REQUIRE(oven.phase() == phase);

    oven.rig.power_off();
    CHECK_FALSE(oven.energised());
    CHECK_FALSE(oven.rig.controller_runs());
    for (int scan = 0; scan < 3'000; ++scan) {
      oven.rig.step();
      REQUIRE_FALSE(oven.energised());
    }
    CHECK(oven.rig.truth().heater_W == 0.0);
    CHECK_FALSE(oven.rig.truth().k1_closed);
    CHECK_FALSE(oven.rig.truth().k2_closed);
    CHECK(oven.rig.truth().purge_L_per_min == doctest::Approx(0.0));
    CHECK(oven.rig.truth().process_L_per_min == doctest::Approx(0.0));

    oven.rig.power_on();
    for (int scan = 0; scan < 6'000; ++scan) {
      oven.rig.step();
      REQUIRE_FALSE(oven.energised());
    }
    CHECK(oven.phase() == Phase::tripped);
    CHECK(oven.first_out() == Cause::power_up);
    oven.press(&Hands::start);
    CHECK_FALSE(oven.energised());
    oven.press(&Hands::reset);
    REQUIRE(oven.phase() == Phase::standby);
    oven.run_s(30.0);
    const bool hot = oven.rig.truth().gas_degC > 65.0;
    const mock::FieldOutputs& outputs = oven.rig.board().field_outputs();
    for (const DigitalOut point : {DigitalOut::k1, DigitalOut::k2, DigitalOut::purge_valve,
                                   DigitalOut::damper, DigitalOut::blower}) {
      CHECK_FALSE(outputs.energised(point));
    }
    CHECK(outputs.energised(DigitalOut::process_valve) == hot);
    CHECK(outputs.energised(DigitalOut::fan) == hot);

    // The chamber is inert still: the monitor must read air before anything can start.
    oven.rig.hands.door_open = true;
    for (int s = 0; s < 300 && !oven.fact(logic::Fact::oxygen_has_read_air); ++s) oven.run_s(1.0);
    oven.rig.hands.door_open = false;
    oven.run_s(5.0);
    oven.press(&Hands::start);
    CHECK(oven.phase() == Phase::purging);
    CHECK(oven.energised());
  }
}

TEST_CASE("time and plant go on without power: a hot oven cools") {
  OvenAtHand oven;
  REQUIRE(oven.start_and_reach(Phase::soak));
  const double hot = oven.rig.truth().gas_degC;
  const auto before_ms = oven.rig.now_ms();
  oven.rig.power_off();
  oven.run_s(600.0);
  CHECK(oven.rig.now_ms() == before_ms + 600'000);
  CHECK(oven.rig.truth().gas_degC < hot - 10.0);
}

TEST_CASE("a bit of the stored settings that flips in a cycle keeps the oven from restarting") {
  for (const bool by_watchdog : {false, true}) {
    CAPTURE(by_watchdog);
    OvenAtHand oven;
    REQUIRE(oven.start_and_reach(Phase::ramp));
    REQUIRE(oven.rig.board().store().flip(controller::settings_offset + 40, std::byte{0x04}));
    oven.run_s(10.0);
    CHECK(oven.phase() == Phase::ramp);  // the settings in use were read at start-up
    if (by_watchdog) {
      oven.rig.stall(500);
      oven.run_s(1.0);
    } else {
      oven.rig.power_off();
      oven.run_s(1.0);
      oven.rig.power_on();
    }
    for (int attempt = 0; attempt < 3; ++attempt) {
      oven.run_s(30.0);
      oven.press(&Hands::reset);
      oven.press(&Hands::start);
      CHECK(oven.phase() == Phase::tripped);
      CHECK_FALSE(oven.energised());
      CHECK(oven.rig.truth().heater_W == 0.0);
    }
    CHECK(oven.rig.controller().settings_refusal() == settings::Refusal::wrong_checksum);
  }
}

TEST_CASE("a short stall is an overrun, a long one a watchdog restart, a tiny one neither") {
  struct Stall {
    std::uint32_t ms;
    Cause first_out;
  };
  for (const Stall& each :
       {Stall{50, Cause::none}, Stall{60, Cause::scan_overrun}, Stall{190, Cause::scan_overrun},
        Stall{210, Cause::watchdog_restart}, Stall{5'000, Cause::watchdog_restart}}) {
    CAPTURE(each.ms);
    OvenAtHand oven;
    REQUIRE(oven.start_and_reach(Phase::ramp));
    oven.run_s(5.0);
    oven.rig.stall(each.ms);
    oven.run_s(each.ms / 1000.0 + 0.05);
    CHECK(oven.first_out() == each.first_out);
    CHECK((oven.phase() == Phase::ramp) == (each.first_out == Cause::none));
    // A trip may leave inert gas on, never heat.
    if (each.first_out != Cause::none) {
      oven.run_s(1.0);
      CHECK(oven.rig.truth().heater_W == 0.0);
      if (each.first_out == Cause::watchdog_restart) CHECK_FALSE(oven.energised());
    }
  }
}

TEST_CASE("the watchdog takes the outputs away while the processor is still stalled") {
  OvenAtHand oven;
  REQUIRE(oven.start_and_reach(Phase::ramp));
  oven.run_s(5.0);
  oven.rig.stall(2'000);
  oven.run_s(0.15);
  CHECK(oven.energised());
  oven.run_s(0.15);
  CHECK_FALSE(oven.energised());
  oven.run_s(1.0);
  CHECK(oven.rig.truth().heater_W == 0.0);
}
