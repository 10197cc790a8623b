#include "hazard_case.hpp"

namespace ovenproof::hazards::testing {

using hal::DigitalIn;
using hal::DigitalOut;
using logic::Phase;
using rig::testing::OvenAtHand;
using rig::testing::quick_oven;

std::vector<Case> cases_of_start() {
  return {
      {"energised_without_start", "the fan's output shorted in standby; without: it is not",
       [](OvenAtHand& oven, bool tip_over) {
         oven.reset();
         oven.run_s(5.0);
         if (tip_over) oven.break_wire(DigitalOut::fan, mock::ShortCircuit{});
         oven.run_s(5.0);
       }},
      {"energised_without_start", "the fan's output shorted at rest; without: started by button",
       [](OvenAtHand& oven, bool tip_over) {
         if (tip_over) {
           oven.reset();
           oven.run_s(5.0);
           oven.break_wire(DigitalOut::fan, mock::ShortCircuit{});
         } else {
           oven.start();
         }
         oven.run_s(30.0);
       }},
      {"energised_without_start", "both contactors' outputs shorted before power-up; without: one",
       [](OvenAtHand& oven, bool tip_over) {
         oven.break_wire(DigitalOut::k1, mock::ShortCircuit{});
         if (tip_over) oven.break_wire(DigitalOut::k2, mock::ShortCircuit{});
         oven.run_s(5.0);
       }},
      {"energised_without_start",
       "power returns to a hot oven, purge output shorted at reset, door open; without: closed",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::soak);
         oven.rig.power_off();
         oven.run_s(1.0);
         oven.rig.power_on();
         oven.rig.hands.door_open = tip_over;
         oven.run_s(5.0);
         oven.press(&rig::Hands::reset);
         oven.run_s(5.0);
         oven.break_wire(DigitalOut::purge_valve, mock::ShortCircuit{});
         oven.run_s(5.0);
       }},
      {"energised_without_start", "the fan by a reset over a cold load; without: over a hot one",
       [](OvenAtHand& oven, bool tip_over) {
         if (!tip_over) {
           reach(oven, Phase::soak);
           oven.rig.power_off();
           oven.run_s(1.0);
           oven.rig.power_on();
           oven.run_s(5.0);
         }
         oven.press(&rig::Hands::reset);
         if (tip_over) oven.break_wire(DigitalOut::fan, mock::ShortCircuit{});
         oven.run_s(5.0);
         REQUIRE(oven.energised());
       }},
      {"energised_without_start",
       "energised as the door closes, after a reset only; without: after a cycle's normal end",
       [](OvenAtHand& oven, bool tip_over) {
         if (tip_over) {
           oven.reset();
         } else {
           REQUIRE(oven.start_and_reach(Phase::unloading));
         }
         oven.rig.hands.door_open = true;
         oven.run_s(90.0);  // the oxygen monitor reads air
         oven.rig.hands.door_open = false;
         if (tip_over) oven.break_wire(DigitalOut::fan, mock::ShortCircuit{});
         oven.run_s(10.0);
         REQUIRE(oven.energised());
       },
       [](bool) {
         rig::Oven oven = quick_oven();
         oven.settings.options.start_by_door = true;
         return oven;
       }},
      {"energised_without_start", "both contactors while the fan runs on; without: one of them",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         oven.break_wire(DigitalIn::limiter_healthy, mock::Open{});  // trips, and the fan runs on
         oven.run_s(10.0);
         REQUIRE(oven.phase() == Phase::tripped);
         REQUIRE(oven.energised());
         oven.break_wire(DigitalOut::k1, mock::ShortCircuit{});
         if (tip_over) oven.break_wire(DigitalOut::k2, mock::ShortCircuit{});
         oven.run_s(5.0);
       }},
      {"energised_without_start", "start held down is no start; without: it is let go",
       [](OvenAtHand& oven, bool tip_over) {
         oven.reset();
         for (int s = 0; s < 120 && !oven.fact(logic::Fact::oxygen_valid); ++s) oven.run_s(1.0);
         oven.rig.hands.start = true;
         oven.run_s(0.5);
         if (tip_over) oven.break_wire(DigitalOut::process_valve, mock::ShortCircuit{});
         oven.run_s(0.5);
         oven.rig.hands.start = tip_over;
         oven.run_s(5.0);
         REQUIRE(oven.energised());
       }},
  };
}

}  // namespace ovenproof::hazards::testing
