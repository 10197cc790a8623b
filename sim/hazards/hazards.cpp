#include "sim/hazards/hazards.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "firmware/settings/table.hpp"
#include "sim/properties/units.hpp"
#include "sim/rig/probes.hpp"

namespace ovenproof::hazards {

std::string tolerance_text(std::uint32_t ms) {
  return ms % 1000 == 0 ? fmt::format("{} s", ms / 1000) : fmt::format("{} ms", ms);
}

std::string Hazard::property() const {
  if (kind != Kind::lasting) return fmt::format("never ({})", condition);
  return fmt::format("never (({}) and (({}) for at least {})), margin in s", act, condition,
                     tolerance_text(tolerance_ms));
}

const std::vector<Hazard>& default_hazards() {
  // A tolerance is how long the oven's own parts need to end the act: contactors drop out, valves
  // close, blowers run down.
  static const std::vector<Hazard> all{
      {"heat_with_door_open", "heater power with the door open",
       "burns; ignition of what is near the open chamber", "plant.heater_power > 1 W",
       "plant.door_opening > 0.02", Kind::lasting, 300,
       "door opened in the cycle; a door contact bridged; both contactors welded",
       "R-DOOR-OPEN, R-DOOR-CONTACTS, R-CONTACTOR-WELDED; door contacts in the hard-wired chain"},
      {"heat_without_airflow", "heater power without circulation",
       "elements and load overheat where no thermocouple sits", "plant.heater_power > 1 W",
       "plant.fan_airflow < 0.5", Kind::lasting, 2'000,
       "fan stopped, slow or not proven; airflow proof bridged",
       "R-FAN-HEAT, R-FAN-PROOF, R-LIMITER"},
      {"heat_in_air", "heater power in a chamber that holds oxygen",
       "the load oxidises; vapours may ignite", "plant.heater_power > 1 W",
       "plant.oxygen_worst > limit.load_oxygen", Kind::lasting, 30'000,
       "no or too short a purge; leak; oxygen reading stuck low or frozen; gas lost",
       "R-GATE, R-GATE-RESTART, R-HOLD, R-REPURGE-LIMIT, R-GAS-SUPPLY, R-OXYGEN-VALID, "
       "R-OXYGEN-AIR, R-OXYGEN-FALLS, R-OXYGEN-TOO-SOON, R-OXYGEN-FROZEN"},
      {"chamber_too_hot", "chamber wall above its limit", "the chamber deforms and leaks; fire", "",
       "plant.wall > limit.wall", Kind::limit, 0,
       "heater switch shorted; thermocouple slipped, frozen or drifting",
       "R-LIMITER, R-OVER-TEMPERATURE, R-TEMPERATURE-VALID, R-TEMPERATURE-DISAGREE, "
       "R-TEMPERATURE-RISE"},
      {"element_too_hot", "element above its limit", "elements fail; fire", "",
       "plant.element > limit.element", Kind::limit, 0,
       "full power without airflow; heater switch shorted",
       "R-LIMITER, R-FAN-HEAT, R-TEMPERATURE-NO-RISE"},
      {"load_too_hot", "load above its own limit", "the load is spoiled; it melts, fumes or burns",
       "", "plant.load > limit.load_max_temperature", Kind::limit, 0,
       "heater switch shorted in a low soak; thermocouple slipped or drifting",
       "R-LIMITER, R-OVER-TEMPERATURE, R-TEMPERATURE-VALID, R-TEMPERATURE-DISAGREE, "
       "R-TEMPERATURE-RISE; a limiter that is set for this load"},
      {"load_hot_in_oxygen", "load hot in oxygen above its limit", "the load is spoiled; fire",
       "plant.load > limit.load_temperature", "plant.oxygen_worst > limit.load_oxygen",
       Kind::lasting, 10'000,
       "door opened on a hot load; gas lost while hot; leak in the cool-down",
       "R-HOLD, R-SHRINK, R-UNLOAD; the blanket, where there is one; no lock keeps a person from "
       "opening a hot oven"},
      {"gas_with_door_open", "inert gas flows with the door open",
       "people at the door breathe too little oxygen", "plant.gas_flow > 1 L/min",
       "plant.door_opening > 0.05", Kind::lasting, 2'000,
       "door opened in the cycle; a valve stuck open; with a blanket, the door's own gas valve "
       "stuck "
       "open",
       "R-DOOR-OPEN, R-FLOW-UNEXPECTED; the gas valve that the door works, where there is one"},
      // The mean of the chamber, not its worst zone: the face is in the opening, where gas of the
      // chamber mixes with air of the room. No air of the room is counted.
      {"person_in_low_oxygen", "oxygen below 19.5 % as somebody reaches in",
       "unconsciousness without warning, death", "", "hands.reaching_in and plant.oxygen < 19.5 %",
       Kind::limit, 0, "no or too short an airing; a valve that is stuck open or leaks",
       "the airing of the operating instructions (people.airing); R-DOOR-OPEN, R-FLOW-UNEXPECTED"},
      {"person_at_hot_surface", "load or wall too hot to touch as somebody reaches in",
       "burns; a hot load is dropped", "", "hands.reaching_in and plant.handled > limit.handling",
       Kind::limit, 0,
       "thermocouple slipped, shorted or frozen while the oven cools; opened hot; unloaded hotter "
       "than gloves allow",
       "R-UNLOAD, R-TEMPERATURE-VALID, R-TEMPERATURE-DISAGREE, R-TEMPERATURE-RATE; gloves for "
       "people.handling_temperature"},
      {"room_oxygen_low", "oxygen in the room below 19.5 %", "suffocation without warning", "",
       "plant.room_oxygen < 19.5 %", Kind::limit, 0,
       "exhaust into a small or unventilated room; a valve stuck open",
       "the room's ventilation and its own oxygen monitor; R-FLOW-UNEXPECTED limits how long"},
      {"energised_without_start", "energised from rest without a start",
       "people are caught by heat, gas or motion they did not ask for", "",
       // At rest is what has been off for longer than the gas takes to change paths. What is
       // energised from the first scan on does not rise: nor has the oven been reset yet. One
       // contactor alone heats nothing, and a damper in its duct catches nobody. Gas may come over
       // a hot load behind its closed door, and circulation by a reset.
       fmt::format(
           "(falls((not ({0} or plant.fan_fed or plant.process_valve_fed)) for at least 2 s)"
           " and not (once within 1 s falls(hands.start)) and not"
           " (machine.start_by_door and (once within 3 s falls(plant.door_opening > 0.01))"
           " and (phase in {{standby, purging}} since phase = unloading)) and not"
           " ({2} and not {1} and (not plant.fan_fed or {3})))"
           " or (phase in {{tripped, standby}} and (rises(plant.k1_fed and plant.k2_fed)"
           " or rises(plant.blower_fed) or (rises(plant.fan_fed) and not ({2} and {3}))"
           " or (rises(plant.purge_valve_fed) and not {2})))"
           " or (({0} or plant.fan_fed or plant.process_valve_fed) and not once not (phase = "
           "tripped))",
           "((plant.k1_fed and plant.k2_fed) or plant.blower_fed or plant.purge_valve_fed)",
           "((plant.k1_fed and plant.k2_fed) or plant.blower_fed)",
           "((plant.gas > setting.cooling.unload_temperature or plant.wall >"
           " setting.cooling.unload_temperature) and plant.door_opening < 0.02)",
           "(once within 1 s falls(hands.reset))"),
       Kind::event, 0, "power returns; reset; door closed; a button held down; an output stuck on",
       "R-START-EDGE, R-START-ARMED, R-START-UNEXPECTED, R-POWER-RETURN, R-RESET, R-SETTINGS"},
      {"gas_flow_too_high", "more gas than exhaust and room are made for",
       "the chamber's pressure rises; people in the room breathe too little oxygen", "",
       "plant.gas_flow > limit.gas_flow", Kind::limit, 0,
       "a valve slow or stuck open next to the other path; a regulator that fails open",
       "R-GAS-PATHS, R-FLOW-UNEXPECTED; an exhaust and a room made for all paths at once"},
      {"overpressure", "chamber pressure above its limit", "the door or the chamber gives way", "",
       "plant.pressure > limit.pressure", Kind::limit, 0,
       "exhaust blocked or non-return valve stuck closed, without a relief valve that opens",
       "the relief valve, where there is one: the controller measures no pressure; R-GATE-TIMEOUT "
       "ends the purge"},
      {"underpressure", "chamber pressure too far below that of the room",
       "the chamber buckles; a door that is opened is held fast, then air rushes in", "",
       "plant.pressure < limit.underpressure", Kind::limit, 0,
       "gas shut while the chamber cools behind tight seals: emergency stop, power or supply lost",
       "R-SHRINK; the blanket and the vacuum relief valve, where there is one; the controller "
       "measures no pressure"},
      {"blower_against_damper", "blowers against a closed damper",
       "the blowers overheat; the chamber is not cooled", "plant.blower_speed > 0.5",
       "plant.damper_opening < 0.1", Kind::lasting, 10'000,
       "damper stuck or closing; its open switch bridged", "R-DAMPER, R-BLOWER"},
      {"stop_without_effect", "heat, fan or gas while the emergency stop is pressed",
       "what somebody stopped in danger goes on",
       "plant.heater_power > 1 W or plant.purge_flow + plant.process_flow > 1 L/min or"
       " plant.fan_fed or plant.blower_fed",
       "hands.estop", Kind::lasting, 2'000,
       "read-back of the emergency stop bridged; an output or a valve that is stuck on",
       "R-ESTOP; the hard-wired chain takes the heat; the emergency stop's second contact takes "
       "fan "
       "and gas, where there is one (emergency_stop.cuts_outputs); else they hang on the "
       "read-back"},
  };
  return all;
}

double gas_capacity_L_per_min(const plant::Parameters& oven) {
  constexpr double margin = 1.05;
  return oven.exhaust.capacity_L_per_min.value_or(
      margin * std::max(oven.supply.purge_L_per_min, oven.supply.process_L_per_min));
}

double highest_load_degC(const plant::Parameters& oven) {
  return oven.load.max_temperature_degC.value_or(oven.limiter.set_point_degC);
}

properties::SignalTable signal_table(const rig::Oven& oven) {
  properties::SignalTable table;
  for (const rig::Probe& probe : rig::probes()) {
    std::string name(probe.name);
    std::string description(probe.description);
    switch (probe.kind) {
      case rig::ProbeKind::boolean:
        table.add_boolean(std::move(name), std::move(description));
        break;
      case rig::ProbeKind::number:
        table.add_number(std::move(name), probe.unit, std::move(description));
        break;
      case rig::ProbeKind::state:
        table.add_state(std::move(name), {probe.labels.begin(), probe.labels.end()},
                        std::move(description));
        break;
    }
  }
  const plant::Parameters& p = oven.plant;
  table.add_constant("limit.wall", p.wall.max_temperature_degC, "degC");
  table.add_constant("limit.element", p.heater.max_temperature_degC, "degC");
  table.add_constant("limit.load_temperature", p.load.oxidation_temperature_degC, "degC");
  table.add_constant("limit.load_max_temperature", highest_load_degC(p), "degC");
  table.add_constant("limit.load_oxygen", p.load.max_oxygen_ppm, "ppm");
  table.add_constant("limit.handling", p.people.handling_temperature_degC, "degC");
  table.add_constant("limit.gas_flow", gas_capacity_L_per_min(p), "L/min");
  table.add_constant("limit.pressure", p.chamber.max_pressure_Pa, "Pa");
  table.add_constant("limit.underpressure", -p.chamber.max_underpressure_Pa, "Pa");
  for (const settings::Descriptor& entry : settings::table) {
    // A unit that the language cannot write, or a truth or choice: nothing to compare with.
    if (entry.unit.empty() || !properties::parse_unit(entry.unit)) continue;
    const settings::Value value = entry.get(oven.settings);
    const double number = value.kind == settings::Kind::number
                              ? static_cast<double>(value.as_number())
                              : static_cast<double>(value.as_integer());
    table.add_constant(fmt::format("setting.{}", entry.key), number, entry.unit,
                       std::string(entry.what));
  }
  return table;
}

}  // namespace ovenproof::hazards
