#include "hazard_case.hpp"

namespace ovenproof::hazards::testing {

using logic::Phase;
using plant::Fault;
using rig::testing::OvenAtHand;
using rig::testing::quick_oven;

std::vector<Case> cases_of_people() {
  return {
      {"person_in_low_oxygen", "reached into as the door opens; without: after two minutes",
       [](OvenAtHand& oven, bool tip_over) {
         REQUIRE(oven.start_and_reach(Phase::unloading));
         oven.rig.hands.door_open = true;
         oven.run_s(tip_over ? 20.0 : 120.0);
         oven.rig.hands.reaching_in = true;
         oven.run_s(10.0);
       }},
      {"person_in_low_oxygen", "the door open on an inert chamber; without: nobody reaches in",
       [](OvenAtHand& oven, bool tip_over) {
         REQUIRE(oven.start_and_reach(Phase::unloading));
         oven.rig.hands.door_open = true;
         oven.run_s(5.0);
         oven.rig.hands.reaching_in = tip_over;
         oven.run_s(10.0);
       }},
      {"person_in_low_oxygen", "purge valve open while somebody reaches in; without: closed",
       [](OvenAtHand& oven, bool tip_over) {
         oven.reset();
         oven.rig.hands.door_open = true;
         oven.run_s(10.0);
         oven.rig.hands.reaching_in = true;
         if (tip_over) oven.break_component(Fault::purge_valve_stuck_open);
         oven.run_s(60.0);
       }},
      {"person_at_hot_surface", "somebody reaches for a hot load; without: keeps hands off",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::soak);
         oven.rig.hands.door_open = true;
         oven.run_s(60.0);
         REQUIRE(oven.rig.truth().load_degC > 85.0);
         oven.rig.hands.reaching_in = tip_over;
         oven.run_s(10.0);
       }},
      {"person_at_hot_surface", "a cold load in a hot chamber; without: gloves that allow it",
       [](OvenAtHand& oven, bool) {
         reach(oven, Phase::soak);
         oven.rig.hands.door_open = true;
         oven.run_s(60.0);
         REQUIRE(oven.rig.exchange_load());
         REQUIRE(oven.rig.truth().load_inside_degC < 30.0);
         REQUIRE(oven.rig.truth().load_degC < 30.0);
         oven.rig.hands.reaching_in = true;
         oven.run_s(10.0);
       },
       [](bool tip_over) {
         rig::Oven oven = quick_oven();
         oven.plant.people.handling_temperature_degC = tip_over ? 40.0 : 150.0;
         return oven;
       }},
      {"person_at_hot_surface", "a load cooled outside, hot inside; without: gloves that allow it",
       [](OvenAtHand& oven, bool) {
         oven.rig.hands.door_open = true;
         for (int s = 0; s < 3'600 && oven.rig.truth().load_degC > 79.0; ++s) oven.run_s(1.0);
         REQUIRE(oven.rig.truth().wall_degC < 79.0);
         REQUIRE(oven.rig.truth().load_inside_degC > 82.0);
         oven.rig.hands.reaching_in = true;
         oven.run_s(1.0);
       },
       [](bool tip_over) {
         rig::Oven oven = quick_oven();
         oven.initial.chamber_degC = 100.0;
         oven.plant.wall.heat_capacity_J_per_K = 2'000.0;
         oven.plant.load.inside_conductance_W_per_K = 2.0;
         oven.plant.people.handling_temperature_degC = tip_over ? 80.0 : 150.0;
         return oven;
       }}};
}

}  // namespace ovenproof::hazards::testing
