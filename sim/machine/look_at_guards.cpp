#include <array>
#include <string>

#include <fmt/format.h>

#include "firmware/settings/table.hpp"
#include "sim/machine/checker.hpp"

namespace ovenproof::machine {

namespace {

/// What one sensor cannot notice of itself.
void look_at_single_sensors(Checker& look, const Machine& m) {
  look.need(
      m.settings.options.thermocouples > 1, {"options.thermocouples"},
      "2: one thermocouple that drifts or slips out slowly while the oven cools reads cold, and a "
      "hot load may be unloaded; a fast fall alone is noticed");
  look.need(m.settings.options.door_contacts > 1, {"options.door_contacts"},
            "2: one contact that is bridged or tied down reads closed, and gas and heat may go on "
            "with the door open; it is noticed only after the next unloading");
}

/// Heat with the door open is judged from 2 % of opening on: contacts set wider let it happen.
void look_at_door_contacts(Checker& look, const Machine& m) {
  constexpr double judged_open = 0.02;
  const auto narrow = [&look](double opening, const std::string& key) {
    look.need(
        opening <= judged_open, {key},
        fmt::format("a contact that opens by 2 % of the door's way: set at {:.3g} % it proves "
                    "a door closed that is judged open",
                    100.0 * opening));
  };
  narrow(m.plant.door.contact_1_opening, "door.contact_1_opening");
  if (m.settings.options.door_contacts > 1) {
    narrow(m.plant.door.contact_2_opening, "door.contact_2_opening");
  }
}

/// A start by closing the door asks that nobody can be behind it.
void look_at_door_start(Checker& look, const Machine& m) {
  constexpr double enterable_L = 1000.0;  // common practice, no source
  look.need(!m.settings.options.start_by_door || m.plant.chamber.volume_m3 * 1000.0 < enterable_L,
            {"options.start_by_door", "purge.chamber_volume"},
            "false: a person can be inside a chamber of 1,000 L or more when its door closes, and "
            "the door would start the purge with inert gas");
}

/// What an emergency stop and the return of the supply do without the controller.
void look_at_output_supply(Checker& look, const Machine& m) {
  look.need(m.plant.emergency_stop.cuts_outputs, {"emergency_stop.cuts_outputs"},
            "true: without a second contact that cuts fan, blowers and gas valves, a bridged "
            "read-back lets them go on while the emergency stop is pressed");
  look.need(m.plant.outputs.supply_latched, {"outputs.supply_latched"},
            "true: without a control relay that stays open until a reset, what is driven is "
            "energised again by itself when the supply of the outputs returns, or an emergency "
            "stop is released");
}

/// Oxygen must be held at the gate for longer than its reading lags, or the hold proves nothing.
void look_at_gate_hold(Checker& look, const Machine& m) {
  if (m.settings.options.oxygen_sensor == settings::OxygenSensor::none) return;
  const double lag_s = m.plant.oxygen.transport_delay_s + 3.0 * m.plant.oxygen.cell_lag_s;
  look.need(m.settings.purge.gate_hold.value / 1000.0 >= lag_s,
            {"purge.gate_hold", "oxygen.transport_delay", "oxygen.cell_lag"},
            fmt::format("at least {:.3g} s, the transport delay and three times the cell's lag: "
                        "what is read is what the chamber was that long ago",
                        lag_s));
}

/// A flow switch proves that there is more flow than where it lets go, and no more.
void look_at_counted_flow(Checker& look, const Machine& m) {
  constexpr double rounding = 1e-6;
  look.need(static_cast<double>(m.settings.purge.counted_share.value) <=
                m.plant.switches.flow_release() + rounding,
            {"purge.counted_share", "switches.flow_fraction"},
            fmt::format("at most {:.3g}, where the flow switch lets go: a flow that is turned down "
                        "to there still counts as purge",
                        m.plant.switches.flow_release()));
}

/// A diagnosis at the widest end of its range finds next to nothing.
void look_at_diagnosis(Checker& look, const Machine& m) {
  constexpr std::array diagnoses{"temperature.disagree_limit",
                                 "temperature.disagree_time",
                                 "temperature.rate_max_rise",
                                 "temperature.rate_max_fall",
                                 "temperature.rate_max_fall_closed",
                                 "temperature.no_rise_time",
                                 "temperature.undemanded_rise",
                                 "temperature.undemanded_slow_rise",
                                 "temperature.undemanded_grace",
                                 "temperature.max_overshoot",
                                 "oxygen.mixing_factor",
                                 "oxygen.lead_factor",
                                 "oxygen.frozen_time",
                                 "oxygen.early_time",
                                 "oxygen.air_open_time",
                                 "contacts.door_discrepancy",
                                 "contacts.proof_losses",
                                 "timing.flow_gone",
                                 "timing.fan_stop",
                                 "timing.blower_stop"};
  for (const char* key : diagnoses) {
    const settings::Descriptor& entry = settings::table[settings::find(key).value()];
    look.need(entry.get(m.settings) != entry.maximum, {key},
              "less than the widest value of its range: what this looks for is hardly ever found "
              "then");
  }
}

}  // namespace

void look_at_guards(Checker& look, const Machine& machine) {
  look_at_single_sensors(look, machine);
  look_at_door_contacts(look, machine);
  look_at_door_start(look, machine);
  look_at_output_supply(look, machine);
  look_at_gate_hold(look, machine);
  look_at_counted_flow(look, machine);
  look_at_diagnosis(look, machine);
}

}  // namespace ovenproof::machine
