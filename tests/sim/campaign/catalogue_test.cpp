#include "sim/campaign/catalogue.hpp"

#include <algorithm>
#include <set>

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/machine/io_list.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

namespace {

machine::Machine demo(const std::string& name) {
  machine::Machine machine = test::quick_machine();
  if (name == "single") {
    machine.plant.exhaust.relief_pressure_Pa.reset();
    machine.settings.options.thermocouples = 1;
    machine.settings.options.door_contacts = 1;
    machine.settings.options.jacket_cooling = false;
    machine.settings.options.oxygen_sensor = settings::OxygenSensor::none;
  }
  if (name == "transmitter") {
    machine.settings.options.oxygen_sensor = settings::OxygenSensor::transmitter;
  }
  return machine;
}

std::set<std::string> ids(const std::vector<Mode>& modes) {
  std::set<std::string> all;
  for (const Mode& mode : modes) all.insert(mode.id);
  return all;
}

}  // namespace

TEST_CASE("every terminal that is fitted has its wire broken and its wire shorted") {
  for (const char* name : {"full", "single", "transmitter"}) {
    const machine::Machine machine = demo(name);
    std::set<std::size_t> open;
    std::set<std::size_t> shorted;
    for (const Mode& mode : catalogue(machine)) {
      for (const Realisation& how : mode.realisations) {
        if (how.actions.size() != 1) continue;  // what many points share
        for (const scenario::Action& action : how.actions) {
          const auto* signal = std::get_if<scenario::BreakSignal>(&action.act);
          if (signal == nullptr) continue;
          const std::size_t point = signal->fault.point.index();
          if (std::holds_alternative<mock::Open>(signal->fault.effect)) open.insert(point);
          if (std::holds_alternative<mock::ShortCircuit>(signal->fault.effect)) {
            shorted.insert(point);
          }
        }
      }
    }
    std::set<std::size_t> fitted;
    for (std::size_t i = 0; i < machine::point_count; ++i) {
      const bool has = machine::has_part(machine::all_points()[i].part, machine.settings.options);
      if (has) fitted.insert(i);
    }
    CAPTURE(name);
    CHECK(open == fitted);
    CHECK(shorted == fitted);
  }
}

TEST_CASE(
    "every fault of a component that the plant knows is in some mode, on an oven that has the "
    "component and on no other") {
  const auto faults_of = [](const machine::Machine& machine) {
    std::set<plant::Fault> found;
    for (const Mode& mode : catalogue(machine)) {
      for (const Realisation& how : mode.realisations) {
        for (const scenario::Action& action : how.actions) {
          const auto* component = std::get_if<scenario::BreakComponent>(&action.act);
          if (component != nullptr) found.insert(component->fault.fault);
        }
      }
    }
    return found;
  };
  machine::Machine full = demo("full");
  full.plant.chamber.vacuum_relief_pressure_Pa = 3000.0;
  full.plant.blanket.pressure_Pa = 60.0;
  full.plant.blanket.sweep_L_per_min = 2.0;
  full.plant.door.gas_valve_opening = 0.04;
  CHECK(faults_of(full).size() == plant::fault_count);
  machine::Machine bare = demo("single");
  bare.plant.blanket = {};
  bare.plant.door.gas_valve_opening.reset();
  const auto single = faults_of(bare);
  using plant::Fault;
  for (const Fault absent : {Fault::damper_stuck,
                             Fault::damper_stuck_open,
                             Fault::blower_failed,
                             Fault::damper_stuck_closed,
                             Fault::thermocouple_b_slipped,
                             Fault::oxygen_cell_cracked,
                             Fault::oxygen_cell_heater_failed,
                             Fault::relief_stuck_closed,
                             Fault::relief_leaking,
                             Fault::vacuum_relief_stuck_closed,
                             Fault::vacuum_relief_leaking,
                             Fault::oxygen_sample_blocked,
                             Fault::oxygen_combustibles,
                             Fault::blanket_stuck_closed,
                             Fault::blanket_stuck_open,
                             Fault::blanket_set_high,
                             Fault::blanket_set_low,
                             Fault::blanket_sweep_blocked,
                             Fault::door_gas_valve_stuck_open,
                             Fault::door_gas_valve_stuck_closed,
                             Fault::door_gas_valve_late}) {
    CAPTURE(plant::info(absent).name);
    CHECK_FALSE(single.contains(absent));
  }
  CHECK(single.size() == plant::fault_count - 21);
}

TEST_CASE("relief valves have failure modes on the ovens that have them") {
  const auto modes_of = [](const machine::Machine& machine, const std::string& component) {
    std::set<std::string> all;
    for (const Mode& mode : catalogue(machine)) {
      if (mode.component == component) all.insert(mode.id.substr(component.size() + 1));
    }
    return all;
  };
  const std::set<std::string> whole{"stuck_closed", "leaks", "stuck_open"};
  machine::Machine machine = demo("full");
  machine.plant.exhaust.relief_pressure_Pa = 1000.0;
  machine.plant.chamber.vacuum_relief_pressure_Pa.reset();
  CHECK(modes_of(machine, "relief") == whole);
  CHECK(modes_of(machine, "vacuum_relief").empty());
  machine.plant.exhaust.relief_pressure_Pa.reset();
  machine.plant.chamber.vacuum_relief_pressure_Pa = 3000.0;
  CHECK(modes_of(machine, "relief").empty());
  CHECK(modes_of(machine, "vacuum_relief") == whole);
}

TEST_CASE("a blanket and a door's gas valve have failure modes on the ovens that have them") {
  const auto has = [](const machine::Machine& machine, const std::string& id) {
    return ids(catalogue(machine)).contains(id);
  };
  machine::Machine machine = demo("full");
  machine.plant.blanket = {};
  machine.plant.door.gas_valve_opening.reset();
  CHECK_FALSE(has(machine, "blanket.stuck_closed"));
  CHECK_FALSE(has(machine, "door_valve.stuck_open"));
  machine.plant.blanket.pressure_Pa = 60.0;
  CHECK(has(machine, "blanket.stuck_closed"));
  CHECK_FALSE(has(machine, "blanket.sweep_blocked"));
  machine.plant.blanket.sweep_L_per_min = 2.0;
  CHECK(has(machine, "blanket.sweep_blocked"));
  machine.plant.door.gas_valve_opening = 0.04;
  CHECK(has(machine, "door_valve.stuck_open"));
}

TEST_CASE("ids are unique, begin with their component, and components stand together") {
  for (const char* name : {"full", "single", "transmitter"}) {
    const std::vector<Mode> modes = catalogue(demo(name));
    CHECK(ids(modes).size() == modes.size());
    std::set<std::string> left;
    std::string component;
    for (const Mode& mode : modes) {
      CHECK(mode.id.starts_with(mode.component + "."));
      if (mode.component == component) continue;
      CHECK_MESSAGE(left.insert(mode.component).second, mode.component, " stands in two places");
      component = mode.component;
    }
  }
}

TEST_CASE("what a file accepts and excludes counts on the machine that was signed for alone") {
  machine::Machine machine = demo("full");
  const auto counted = [&] {
    std::pair<std::size_t, std::size_t> accepted_excluded;
    for (const Mode& mode : catalogue(machine)) {
      accepted_excluded.first += mode.accepted_reason.empty() ? 0 : 1;
      accepted_excluded.second += mode.excluded ? 1 : 0;
    }
    return accepted_excluded;
  };
  const std::pair nothing(std::size_t{0}, std::size_t{0});
  const std::pair stated(machine.campaign.accepted.size(), machine.campaign.excluded.size());
  REQUIRE(stated.first > 0);
  REQUIRE(stated.second > 0);
  CHECK(counted() == stated);
  const std::string name = machine.name;
  machine.name = "A copy";
  CHECK(counted() == nothing);
  machine.name = name;
  CHECK(counted() == stated);
  machine.settings.purge.gate = Ppm(200.0F);  // as a scenario would override it
  CHECK(counted() == nothing);
  machine.sign_off.digest = sign_off_digest(machine);
  CHECK(counted() == stated);
  machine.campaign.accepted.push_back({"Q3.coil_off", "added after the signature", {}});
  CHECK(counted() == nothing);
}

TEST_CASE("ids follow the tags of the machine file") {
  machine::Machine machine = demo("full");
  CHECK(ids(catalogue(machine)).contains("Q1.welded"));
  for (std::size_t i = 0; i < machine::point_count; ++i) {
    if (machine::all_points()[i].key == "k1") machine.tags[i] = "Q7";
  }
  CHECK(ids(catalogue(machine)).contains("Q7.welded"));
  CHECK_FALSE(ids(catalogue(machine)).contains("Q1.welded"));
}

TEST_CASE("what hides from every contact at once, and what lies around the oven, is in the list") {
  const std::set<std::string> all = ids(catalogue(demo("full")));
  for (const std::string id : {"ZS-1.defeated",
                               "door.jumpered",
                               "chain.limiter_bridged",
                               "Q1.pole_welded",
                               "purge_pipe.off",
                               "process_pipe.turned_down",
                               "supply.regulator_open",
                               "supply.impure",
                               "outputs.supply_dips",
                               "contacts.supply_lost",
                               "contacts.frozen",
                               "outputs.frozen",
                               "contacts.crossed_ZS-1_ZS-2",
                               "XV-3.switches_together",
                               "TE-1A.reversed",
                               "TE-1B.wrong_type",
                               "thermocouples.slipped",
                               "converter.reference_low",
                               "AE-1.sample_blocked",
                               "AE-1.sample_leaks",
                               "AE-1.combustibles",
                               "controller.clock_half",
                               "room.ventilation_lost",
                               "room.hot"}) {
    CHECK_MESSAGE(all.contains(id), id);
  }
  const std::set<std::string> single = ids(catalogue(demo("single")));
  for (const std::string id : {"door.jumpered", "XV-3.switches_together", "TE-1B.reversed",
                               "thermocouples.slipped", "AE-1.combustibles"}) {
    CHECK_MESSAGE(!single.contains(id), id);
  }
}
