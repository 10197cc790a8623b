#include "sim/campaign/hazard_measure.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <string>

#include "sim/hazards/hazards.hpp"
#include "sim/plant/constants.hpp"
#include "sim/rig/field_wiring.hpp"

namespace ovenproof::campaign {
namespace {

struct Measure {
  std::string_view hazard;
  std::string_view unit;
  bool (*present)(const Look&);
  double (*beyond)(const Look&);
};

constexpr double heating_W = 1.0;
/// For people, mole fraction.
constexpr double least_oxygen = plant::least_oxygen_for_people;

double oxygen_ppm(const Look& l) { return plant::worst_oxygen(l.t) * 1e6; }

/// Heat, gas or a motor.
bool goes_on(const Look& l) {
  return l.t.heater_W > heating_W || l.t.purge_L_per_min + l.t.process_L_per_min > 1.0 ||
         l.t.fed.fan || l.t.fed.blower;
}

constexpr std::array measures{
    Measure{"heat_with_door_open", "W",
            [](const Look& l) { return l.t.heater_W > heating_W && l.t.door_opening > 0.02; },
            [](const Look& l) { return l.t.heater_W; }},
    Measure{"heat_without_airflow", "W",
            [](const Look& l) { return l.t.heater_W > heating_W && l.t.fan_airflow < 0.5; },
            [](const Look& l) { return l.t.heater_W; }},
    Measure{"heat_in_air", "ppm",
            [](const Look& l) {
              return l.t.heater_W > heating_W && oxygen_ppm(l) > l.p.load.max_oxygen_ppm;
            },
            [](const Look& l) { return oxygen_ppm(l) - l.p.load.max_oxygen_ppm; }},
    Measure{"chamber_too_hot", "K",
            [](const Look& l) { return l.t.wall_degC > l.p.wall.max_temperature_degC; },
            [](const Look& l) { return l.t.wall_degC - l.p.wall.max_temperature_degC; }},
    Measure{"element_too_hot", "K",
            [](const Look& l) { return l.t.element_degC > l.p.heater.max_temperature_degC; },
            [](const Look& l) { return l.t.element_degC - l.p.heater.max_temperature_degC; }},
    Measure{"load_too_hot", "K",
            [](const Look& l) { return l.t.load_degC > hazards::highest_load_degC(l.p); },
            [](const Look& l) { return l.t.load_degC - hazards::highest_load_degC(l.p); }},
    Measure{"load_hot_in_oxygen", "ppm",
            [](const Look& l) {
              return l.t.load_degC > l.p.load.oxidation_temperature_degC &&
                     oxygen_ppm(l) > l.p.load.max_oxygen_ppm;
            },
            [](const Look& l) { return oxygen_ppm(l) - l.p.load.max_oxygen_ppm; }},
    Measure{"gas_with_door_open", "L/min",
            [](const Look& l) { return l.t.gas_L_per_min > 1.0 && l.t.door_opening > 0.05; },
            [](const Look& l) { return l.t.gas_L_per_min; }},
    Measure{"person_in_low_oxygen", "percentage points",
            [](const Look& l) { return l.hands.reaching_in && l.t.oxygen < least_oxygen; },
            [](const Look& l) { return (least_oxygen - l.t.oxygen) * 100.0; }},
    Measure{"person_at_hot_surface", "K",
            [](const Look& l) {
              return l.hands.reaching_in && l.t.handled_degC > l.p.people.handling_temperature_degC;
            },
            [](const Look& l) { return l.t.handled_degC - l.p.people.handling_temperature_degC; }},
    Measure{"room_oxygen_low", "percentage points",
            [](const Look& l) { return l.t.room_oxygen < least_oxygen; },
            [](const Look& l) { return (least_oxygen - l.t.room_oxygen) * 100.0; }},
    Measure{"energised_without_start", "",
            [](const Look& l) {
              const plant::Actuation& on = l.t.fed;
              return (on.k1 && on.k2) || on.fan || on.blower || on.purge_valve || on.process_valve;
            },
            [](const Look&) { return 1.0; }},
    Measure{"gas_flow_too_high", "L/min",
            [](const Look& l) { return l.t.gas_L_per_min > hazards::gas_capacity_L_per_min(l.p); },
            [](const Look& l) { return l.t.gas_L_per_min - hazards::gas_capacity_L_per_min(l.p); }},
    Measure{"overpressure", "Pa",
            [](const Look& l) { return l.t.pressure_Pa > l.p.chamber.max_pressure_Pa; },
            [](const Look& l) { return l.t.pressure_Pa - l.p.chamber.max_pressure_Pa; }},
    Measure{"underpressure", "Pa",
            [](const Look& l) { return l.t.pressure_Pa < -l.p.chamber.max_underpressure_Pa; },
            [](const Look& l) { return -l.p.chamber.max_underpressure_Pa - l.t.pressure_Pa; }},
    Measure{"blower_against_damper", "%",
            [](const Look& l) { return l.t.blower_speed > 0.5 && l.t.damper_opening < 0.1; },
            [](const Look& l) { return l.t.blower_speed * 100.0; }},
    Measure{"stop_without_effect", "", [](const Look& l) { return l.hands.estop && goes_on(l); },
            [](const Look&) { return 1.0; }}};

const Measure& measure_of(std::size_t hazard) {
  const std::string& id = hazards::default_hazards().at(hazard).id;
  const auto* found = std::find_if(measures.begin(), measures.end(),
                                   [&](const Measure& each) { return each.hazard == id; });
  if (found == measures.end()) throw std::logic_error("no measure for the hazard " + id);
  return *found;
}

}  // namespace

Excess excess(std::size_t hazard, const Look& look) {
  const Measure& measure = measure_of(hazard);
  if (!measure.present(look)) return {false, 0.0, measure.unit};
  return {true, measure.beyond(look), measure.unit};
}

}  // namespace ovenproof::campaign
