#include <algorithm>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "firmware/settings/settings.hpp"
#include "sim/formulas/gas.hpp"
#include "sim/formulas/room.hpp"
#include "sim/machine/checker.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/plant/constants.hpp"

namespace ovenproof::machine {

namespace {

/// Largest flow that the chamber needs as its losses and the jacket cool it from its highest
/// target, L/min: the gas shrinks by n / T dT/dt, and seals let some out at the blanket's pressure.
double blanket_needed_L_per_min(const Machine& m) {
  const plant::Parameters& p = m.plant;
  double hottest = ambient_degC;
  for (std::size_t i = 0; i < m.settings.programme.segment_count; ++i) {
    hottest = std::max<double>(hottest, m.settings.programme.segments[i].target.value);
  }
  const double lost_W_per_K = loss_W_per_K(p) + (p.cooling.fitted ? p.cooling.ua_W_per_K : 0.0);
  const double tau_min = heated_capacity_J_per_K(p) / lost_W_per_K / 60.0;
  return formulas::peak_contraction_L_per_min(p.chamber.volume_m3 * 1000.0, hottest, ambient_degC,
                                              ambient_degC, tau_min) +
         p.tightness.seal_conductance_L_per_min_Pa * *p.blanket.pressure_Pa;
}

void check_blanket(Checker& check, const Machine& m) {
  const plant::Parameters& p = m.plant;
  if (!p.blanket.pressure_Pa) return;
  check.need(*p.blanket.pressure_Pa < p.exhaust.cracking_pressure_Pa,
             {"blanket.pressure", "exhaust.cracking_pressure"},
             "below exhaust.cracking_pressure, or the regulator never closes");
  check.need(p.door.gas_valve_opening.has_value(), {"blanket.pressure", "door.gas_valve_opening"},
             "a gas valve that the door works, or the blanket blows out of the open door");
  const double needed = blanket_needed_L_per_min(m);
  check.need(p.blanket.max_L_per_min >= needed,
             {"blanket.max_flow", "purge.chamber_volume", "tightness.seal_conductance"},
             fmt::format("at least {:.3g} L/min, by which the gas shrinks, n / T dT/dt, and leaks "
                         "as losses and jacket cool the chamber",
                         needed));
}

/// The contacts of the door report it open before its valve takes the gas away.
void check_door_gas_valve(Checker& check, const Machine& m) {
  const plant::DoorParameters& door = m.plant.door;
  if (!door.gas_valve_opening) return;
  const bool two = m.settings.options.door_contacts > 1;
  const double last = std::max(door.contact_1_opening, two ? door.contact_2_opening : 0.0);
  std::vector<std::string> keys{"door.gas_valve_opening", "door.contact_1_opening"};
  if (two) keys.emplace_back("door.contact_2_opening");
  check.need(0.5 * *door.gas_valve_opening >= last, keys,
             fmt::format("at least {:.3g} %, twice the opening of the door's contacts: the valve "
                         "begins to close at half its opening, and a flow that is missing then "
                         "hides that the door was opened",
                         200.0 * last));
}

void check_capacity(Checker& check, const Machine& m) {
  const plant::Parameters& p = m.plant;
  if (!p.exhaust.capacity_L_per_min) return;
  const double capacity = *p.exhaust.capacity_L_per_min;
  check.need(capacity >= std::max(p.supply.purge_L_per_min, p.supply.process_L_per_min),
             {"exhaust.capacity", "purge.purge_flow", "purge.process_flow"},
             "at least the larger of purge.purge_flow and purge.process_flow");
  // Exhaust and relief valve open side by side.
  const plant::ExhaustParameters& e = p.exhaust;
  double held_Pa = e.cracking_pressure_Pa + capacity / e.conductance_L_per_min_Pa;
  std::vector<std::string> keys{"exhaust.capacity", "exhaust.conductance",
                                "exhaust.cracking_pressure", "chamber.max_pressure"};
  if (e.relief_pressure_Pa && e.relief_conductance_L_per_min_Pa &&
      held_Pa > *e.relief_pressure_Pa) {
    held_Pa = (capacity + e.conductance_L_per_min_Pa * e.cracking_pressure_Pa +
               *e.relief_conductance_L_per_min_Pa * *e.relief_pressure_Pa) /
              (e.conductance_L_per_min_Pa + *e.relief_conductance_L_per_min_Pa);
    keys.insert(keys.end() - 1, {"exhaust.relief_pressure", "exhaust.relief_conductance"});
  }
  check.need(held_Pa <= p.chamber.max_pressure_Pa, keys,
             fmt::format("a flow that the exhaust lets out below chamber.max_pressure: it backs up "
                         "to {:.0f} Pa",
                         held_Pa));
  if (e.ducted) return;
  const double released = capacity / formulas::at_zero_degC(1.0, ambient_degC);
  const double ventilation = p.room.volume_m3 * 1000.0 * p.room.air_changes_per_h / 60.0;
  const double oxygen = formulas::room_oxygen_steady(released, ventilation);
  check.need(oxygen >= plant::least_oxygen_for_people,
             {"exhaust.capacity", "room.volume", "room.air_changes", "exhaust.ducted"},
             fmt::format("a flow that leaves 19.5 % oxygen in the room, 0.2095 (1 - R / Q): it "
                         "settles at {:.3g} %",
                         100.0 * oxygen));
}

}  // namespace

void check_gas_flow(Checker& check, const Machine& m) {
  check_blanket(check, m);
  check_door_gas_valve(check, m);
  check_capacity(check, m);
}

}  // namespace ovenproof::machine
