#include <algorithm>
#include <functional>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "hazard_case.hpp"
#include "oven_rig.hpp"
#include "sim/hazards/hazard_watch.hpp"

using namespace ovenproof;
using hal::DigitalIn;
using hal::DigitalOut;
using hazards::testing::Case;
using hazards::testing::reach;
using logic::Phase;
using plant::Fault;
using rig::Hands;
using rig::testing::OvenAtHand;
using rig::testing::quick_oven;

namespace {

/// Heater power that no output of the board can take away any more.
void heat_for_ever(OvenAtHand& oven) {
  oven.break_component(Fault::heater_switch_shorted);
  oven.break_component(Fault::k1_welded);
  oven.break_component(Fault::k2_welded);
}

/// Shorted outputs: the hard-wired chain still acts.
void short_the_heater_outputs(OvenAtHand& oven) {
  oven.break_wire(DigitalOut::k1, mock::ShortCircuit{});
  oven.break_wire(DigitalOut::k2, mock::ShortCircuit{});
  oven.break_wire(mock::Point::heater(), mock::ShortCircuit{});
}

/// A shorted output with a loose connection: it drops out in every period.
void short_with_dips(OvenAtHand& oven, mock::Point point, std::uint32_t period_ms,
                     std::uint32_t open_ms = 300) {
  oven.break_wire(point, mock::ShortCircuit{});
  oven.break_wire(point, mock::Intermittent{period_ms, open_ms});
}

rig::Oven small_room(bool unventilated) {
  rig::Oven oven = quick_oven();
  oven.plant.exhaust.ducted = false;
  oven.plant.room.volume_m3 = 15.0;
  oven.plant.room.air_changes_per_h = unventilated ? 0.0 : 20.0;
  return oven;
}

rig::Oven exhaust_into_small_room(bool into_room) {
  rig::Oven oven = small_room(true);
  oven.plant.exhaust.ducted = !into_room;
  return oven;
}

/// Pockets so slow that they hold the load's limit of oxygen several times when the mean of the
/// chamber has long been below it.
rig::Oven slow_pockets(bool slow) {
  rig::Oven oven = quick_oven();
  oven.plant.mixing.pocket_time_fan_s = slow ? 200.0 : 8.0;
  return oven;
}

rig::Oven load_of_200_degC(bool) {
  rig::Oven oven = quick_oven();
  oven.plant.load.max_temperature_degC = 200.0;
  oven.settings.temperature.max_overshoot = Kelvins(200.0F);  // or it is found before
  return oven;
}

rig::Oven tight_chamber(bool without_vacuum_relief) {
  rig::Oven oven = quick_oven();
  oven.plant.tightness.seal_conductance_L_per_min_Pa = 0.0;
  if (without_vacuum_relief) return oven;
  oven.plant.chamber.vacuum_relief_pressure_Pa = 3000.0;
  oven.plant.chamber.vacuum_relief_conductance_L_per_min_Pa = 0.1;
  return oven;
}

rig::Oven blanketed(bool with_blanket) {
  rig::Oven oven = quick_oven();
  oven.plant.door.gas_valve_opening = 0.04;
  if (with_blanket) oven.plant.blanket.pressure_Pa = 60.0;
  return oven;
}

rig::Oven made_for_both_paths(bool not_made) {
  rig::Oven oven = quick_oven();
  if (!not_made) oven.plant.exhaust.capacity_L_per_min = 250.0;
  return oven;
}

const std::vector<Case>& cases_of_the_oven() {
  static const std::vector<Case> all{
      {"heat_with_door_open", "both contactors welded and the drive shorted; without: Q1 opens",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         oven.break_component(Fault::heater_switch_shorted);
         oven.break_component(Fault::k2_welded);
         if (tip_over) oven.break_component(Fault::k1_welded);
         oven.rig.hands.door_open = true;
         oven.run_s(10.0);
       }},
      {"heat_without_airflow", "fan stopped, contactors welded, drive shorted; without: fan runs",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         heat_for_ever(oven);
         if (tip_over) oven.break_component(Fault::fan_stopped);
         oven.run_s(20.0);
       }},
      {"heat_without_airflow", "fan stopped, contactors welded, drive shorted; without: Q2 opens",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         oven.break_component(Fault::heater_switch_shorted);
         oven.break_component(Fault::k1_welded);
         if (tip_over) oven.break_component(Fault::k2_welded);
         oven.break_component(Fault::fan_stopped);
         oven.run_s(20.0);
       }},
      {"heat_in_air", "all three heater outputs shorted at rest; without: Q2 is not",
       [](OvenAtHand& oven, bool tip_over) {
         oven.reset();
         oven.break_wire(DigitalOut::k1, mock::ShortCircuit{});
         oven.break_wire(mock::Point::heater(), mock::ShortCircuit{});
         if (tip_over) oven.break_wire(DigitalOut::k2, mock::ShortCircuit{});
         oven.run_s(60.0);
       }},
      {"heat_in_air", "at rest, Q2 drops out for 0.3 s every 20 s; without: it stays open",
       [](OvenAtHand& oven, bool tip_over) {
         oven.reset();
         oven.break_wire(DigitalOut::k1, mock::ShortCircuit{});
         oven.break_wire(mock::Point::heater(), mock::ShortCircuit{});
         if (tip_over) short_with_dips(oven, DigitalOut::k2, 20'000);
         oven.run_s(120.0);
       }},
      {"heat_without_airflow", "fan stopped, the drive dips once a second; without: fan runs",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         oven.break_component(Fault::k1_welded);
         oven.break_component(Fault::k2_welded);
         short_with_dips(oven, mock::Point::heater(), 1'000);
         if (tip_over) oven.break_component(Fault::fan_stopped);
         oven.run_s(20.0);
       }},
      {"chamber_too_hot", "heater outputs shorted and the limiter failed; without: it trips",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         short_the_heater_outputs(oven);
         oven.break_wire(DigitalOut::fan, mock::ShortCircuit{});
         if (tip_over) oven.break_component(Fault::limiter_failed);
         oven.run_s(7'200.0);
       }},
      {"element_too_hot",
       "contactors welded, drive shorted, no airflow; without: drive not shorted",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         oven.break_component(Fault::k1_welded);
         oven.break_component(Fault::k2_welded);
         if (tip_over) oven.break_component(Fault::heater_switch_shorted);
         oven.break_component(Fault::fan_stopped);
         oven.run_s(600.0);
         // Where no thermocouple sits: the gas is far from that limit.
         REQUIRE(oven.rig.truth().gas_degC <
                 oven.rig.plant().parameters().heater.max_temperature_degC);
       },
       [](bool) {
         rig::Oven oven = quick_oven();
         oven.plant.heater.max_temperature_degC = 450.0;
         return oven;
       }},
      {"heat_in_air", "slow pockets at the gate, the mean is below the limit; without: quick ones",
       [](OvenAtHand& oven, bool) {
         REQUIRE(oven.start_and_reach(Phase::ramp));
         REQUIRE(oven.rig.truth().oxygen * 1e6 < oven.rig.plant().parameters().load.max_oxygen_ppm);
         oven.run_s(60.0);
       },
       slow_pockets},
      {"load_hot_in_oxygen", "slow pockets when the load is hot; without: quick ones",
       [](OvenAtHand& oven, bool) {
         REQUIRE(oven.start_and_reach(Phase::ramp));
         REQUIRE(oven.rig.truth().oxygen * 1e6 < oven.rig.plant().parameters().load.max_oxygen_ppm);
         oven.run_s(120.0);
       },
       [](bool slow) {
         rig::Oven oven = slow_pockets(slow);
         oven.plant.load.oxidation_temperature_degC = 25.0;
         return oven;
       }},
      {"load_too_hot", "the heater switch shorted in a low soak; without: it is not",
       [](OvenAtHand& oven, bool tip_over) {
         REQUIRE(oven.start_and_reach(Phase::soak));
         if (tip_over) oven.break_component(Fault::heater_switch_shorted);
         oven.run_s(600.0);
       },
       load_of_200_degC},
      {"load_too_hot", "a load without a limit of its own, the limiter failed; without: it trips",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         short_the_heater_outputs(oven);
         oven.break_wire(DigitalOut::fan, mock::ShortCircuit{});
         if (tip_over) oven.break_component(Fault::limiter_failed);
         oven.run_s(7'200.0);
       }},
      {"load_hot_in_oxygen", "the door opened in the soak; without: it stays closed",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::soak);
         oven.rig.hands.door_open = tip_over;
         oven.run_s(60.0);
       }},
      {"load_hot_in_oxygen", "the seal gone in the soak, beyond any purge; without: it is sound",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::soak);
         if (tip_over) oven.break_component(Fault::seal_leaking);
         oven.run_s(300.0);
       }},
      {"gas_with_door_open", "purge valve stuck open, the door opened; without: it closes",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::purging);
         if (tip_over) oven.break_component(Fault::purge_valve_stuck_open);
         oven.rig.hands.door_open = true;
         oven.run_s(10.0);
       }},
      {"gas_with_door_open", "process output shorted, the door opened; without: it is not",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         if (tip_over) oven.break_wire(DigitalOut::process_valve, mock::ShortCircuit{});
         oven.rig.hands.door_open = true;
         oven.run_s(10.0);
       }},
      {"gas_with_door_open", "process output on for 1 s in 3 s, door open; without: closed",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         short_with_dips(oven, DigitalOut::process_valve, 3'000, 2'000);
         oven.rig.hands.door_open = tip_over;
         oven.run_s(10.0);
       }},
      {"room_oxygen_low", "purged into a small room without ventilation; without: with it",
       [](OvenAtHand& oven, bool) {
         reach(oven, Phase::ramp);
         oven.run_s(60.0);
       },
       small_room},
      {"room_oxygen_low", "purged into a small room without ventilation; without: ducted",
       [](OvenAtHand& oven, bool) {
         reach(oven, Phase::ramp);
         oven.run_s(60.0);
       },
       exhaust_into_small_room},
      {"gas_flow_too_high", "purge valve stuck open, process output dips every 2 s; without: not",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::purging);
         oven.break_component(Fault::purge_valve_stuck_open);
         if (tip_over) short_with_dips(oven, DigitalOut::process_valve, 2000);
         oven.run_s(30.0);
       }},
      {"gas_flow_too_high", "both valves stuck open; without: one of them",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::purging);
         oven.break_component(Fault::purge_valve_stuck_open);
         if (tip_over) oven.break_component(Fault::process_valve_stuck_open);
         oven.run_s(30.0);
       }},
      {"gas_flow_too_high", "both valves stuck open; without: exhaust and room are made for it",
       [](OvenAtHand& oven, bool) {
         reach(oven, Phase::purging);
         oven.break_component(Fault::purge_valve_stuck_open);
         oven.break_component(Fault::process_valve_stuck_open);
         oven.run_s(30.0);
       },
       made_for_both_paths},
      {"gas_with_door_open", "the door's gas valve stuck open, a blanket; without: no blanket",
       [](OvenAtHand& oven, bool) {
         oven.break_component(Fault::door_gas_valve_stuck_open);
         oven.rig.hands.door_open = true;
         oven.run_s(10.0);
       },
       blanketed},
      {"overpressure", "the exhaust blocked while purging; without: open",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::purging);
         if (tip_over) oven.break_component(Fault::exhaust_blocked);
         oven.run_s(60.0);
       }},
      {"overpressure", "the non-return valve stuck closed while purging; without: it opens",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::purging);
         if (tip_over) oven.break_component(Fault::non_return_stuck_closed);
         oven.run_s(60.0);
       }},
      {"underpressure", "emergency stop in a tight hot chamber; without: a vacuum relief valve",
       [](OvenAtHand& oven, bool) {
         reach(oven, Phase::soak);
         oven.rig.hands.estop = true;
         oven.run_s(3'600.0);
       },
       tight_chamber},
      {"underpressure", "the vacuum relief valve stuck closed; without: it opens",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::soak);
         if (tip_over) oven.break_component(Fault::vacuum_relief_stuck_closed);
         oven.rig.hands.estop = true;
         oven.run_s(3'600.0);
       },
       [](bool) { return tight_chamber(false); }},
      {"stop_without_effect", "emergency stop pressed, its read-back bridged; without: it is not",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::ramp);
         if (tip_over) oven.break_wire(DigitalIn::estop_healthy, mock::ShortCircuit{});
         oven.rig.hands.estop = true;
         oven.run_s(10.0);
       }},
      {"stop_without_effect", "emergency stop pressed, purge valve stuck open; without: it closes",
       [](OvenAtHand& oven, bool tip_over) {
         reach(oven, Phase::purging);
         if (tip_over) oven.break_component(Fault::purge_valve_stuck_open);
         oven.rig.hands.estop = true;
         oven.run_s(10.0);
       }},
      {"blower_against_damper",
       "the blower's output shorted, the damper stuck closed; without: the damper opens",
       [](OvenAtHand& oven, bool tip_over) {
         oven.reset();
         oven.break_wire(DigitalOut::blower, mock::ShortCircuit{});
         oven.break_wire(DigitalOut::damper, mock::ShortCircuit{});
         if (tip_over) oven.break_component(Fault::damper_stuck_closed);
         oven.run_s(60.0);
       }},
      {"blower_against_damper",
       "the damper stuck closed, its end switches crossed by a fault; without: only the damper",
       [](OvenAtHand& oven, bool tip_over) {
         REQUIRE(oven.start_and_reach(Phase::cooling));
         oven.break_component(Fault::damper_stuck_closed);
         if (tip_over) {
           oven.break_wire(DigitalIn::damper_open, mock::ShortCircuit{});
           oven.break_wire(DigitalIn::damper_closed, mock::Open{});
         }
         oven.run_s(90.0);
       }},
  };
  return all;
}

const std::vector<Case>& cases() {
  static const std::vector<Case> all = [] {
    std::vector<Case> list = cases_of_the_oven();
    for (const std::vector<Case>& more :
         {hazards::testing::cases_of_people(), hazards::testing::cases_of_start()}) {
      list.insert(list.end(), more.begin(), more.end());
    }
    return list;
  }();
  return all;
}

struct Seen {
  bool avoided = true;
  bool told_while_running = false;
};

Seen judged(const Case& each, bool tip_over) {
  const rig::Oven oven = each.oven(tip_over);
  OvenAtHand at_hand(oven);
  hazards::HazardWatch watch(oven, at_hand.rig.period_ms());
  Seen seen;
  at_hand.after_scan = [&](const rig::Rig& rig) {
    for (const std::size_t i : watch.observe(rig)) {
      seen.told_while_running |= hazards::default_hazards()[i].id == each.hazard;
    }
  };
  each.deed(at_hand, tip_over);
  for (const hazards::HazardVerdict& verdict : watch.verdicts()) {
    if (verdict.id == each.hazard) seen.avoided = verdict.avoided;
  }
  return seen;
}

}  // namespace

TEST_CASE("every default hazard occurs and is reported, and in a neighbour it does not") {
  for (const Case& each : cases()) {
    CAPTURE(each.hazard);
    CAPTURE(each.how);
    const Seen tipped = judged(each, true);
    CHECK_FALSE(tipped.avoided);
    CHECK(tipped.told_while_running);
    const Seen neighbour = judged(each, false);
    CHECK(neighbour.avoided);
    CHECK_FALSE(neighbour.told_while_running);
  }
}

TEST_CASE("no default hazard is without a case in which it occurs") {
  for (const hazards::Hazard& hazard : hazards::default_hazards()) {
    CAPTURE(hazard.id);
    CHECK(std::any_of(cases().begin(), cases().end(),
                      [&hazard](const Case& each) { return each.hazard == hazard.id; }));
  }
}
