#include "sim/machine/derived.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "sim/machine/natural_log.hpp"

namespace ovenproof::machine {

namespace {

constexpr double ambient_degC = 20.0;
constexpr double normal_K = 273.15;
constexpr double least_room_oxygen_ppm =
    195'000.0;  // OSHA 29 CFR 1910.146: below 19.5 % is deficient

double chamber_L(const Machine& m) { return m.plant.chamber.volume_m3 * 1000.0; }

/// Seconds of the programme's ramps, as fast as asked for and as the heater allows, and its soaks.
double heating_s(const Machine& m) {
  const plant::Parameters& p = m.plant;
  const double most_W = p.heater.power_W * m.settings.control.max_drive_permille / 1000.0;
  double total = 0.0;
  double from = ambient_degC;
  for (std::size_t i = 0; i < m.settings.programme.segment_count; ++i) {
    const settings::Segment& segment = m.settings.programme.segments[i];
    const double to = segment.target.value;
    const double rise = to - from;
    double ramp_s = (rise < 0 ? -rise : rise) / (segment.ramp_K_per_min / 60.0);
    if (rise > 0) {
      const double spare_W = most_W - loss_W_per_K(p) * ((from + to) / 2.0 - ambient_degC);
      if (spare_W > 0) ramp_s = std::max(ramp_s, heated_capacity_J_per_K(p) * rise / spare_W);
    }
    total += ramp_s + segment.soak.value / 1000.0;
    from = to;
  }
  return total;
}

/// Seconds from the last target to the unloading temperature, one lump of heat against room air:
/// losses, and the jacket's air at its effectiveness.
double cooling_s(const Machine& m) {
  const plant::Parameters& p = m.plant;
  double conductance = loss_W_per_K(p);
  if (p.cooling.fitted) {
    constexpr double air_kg_per_m3 = 1.204;  // ideal gas, 20 degC and 101.325 kPa
    constexpr double air_J_per_kgK = 1007.0;
    const double flow_W_per_K = p.cooling.airflow_L_per_s * 1e-3 * air_kg_per_m3 * air_J_per_kgK;
    // effectiveness 1 - exp(-x), with exp(-x) from its continued-fraction-free bound: 8-fold
    // squaring of the Pade (1,1) form, which keeps to + - * /.
    const double x = p.cooling.ua_W_per_K / flow_W_per_K / 256.0;
    double decay = (1.0 - x / 2.0) / (1.0 + x / 2.0);
    for (int i = 0; i < 8; ++i) decay *= decay;
    conductance += flow_W_per_K * (1.0 - decay);
  }
  const std::size_t last = m.settings.programme.segment_count - 1;
  const double from = m.settings.programme.segments[last].target.value - ambient_degC;
  const double to = std::max(1.0, m.settings.cooling.unload_temperature.value - ambient_degC);
  if (from <= to) return 0.0;
  return heated_capacity_J_per_K(p) / conductance * natural_log(from / to);
}

double hottest_degC(const Machine& m) {
  double hottest = ambient_degC;
  for (std::size_t i = 0; i < m.settings.programme.segment_count; ++i) {
    hottest = std::max(hottest, static_cast<double>(m.settings.programme.segments[i].target.value));
  }
  return hottest;
}

/// Volume changes that purging takes: what the gate needs where there is a monitor, at least the
/// set minimum.
double purge_volumes(const Machine& m) {
  const double least = m.settings.purge.minimum_volumes;
  if (m.settings.options.oxygen_sensor == settings::OxygenSensor::none) return least;
  return std::max(least, volume_changes_to(m.plant, m.settings.purge.gate.value).value_or(least));
}

}  // namespace

double oxygen_floor_ppm(const plant::Parameters& plant, double flow_L_per_min) {
  const double ingress = plant.tightness.air_ingress_L_per_min;
  return (plant.supply.oxygen_ppm * flow_L_per_min + dry_air_ppm * ingress) /
         (flow_L_per_min + ingress);
}

std::optional<double> volume_changes_to(const plant::Parameters& plant, double target_ppm) {
  const double floor = oxygen_floor_ppm(plant, plant.supply.purge_L_per_min);
  if (floor >= target_ppm || target_ppm >= dry_air_ppm) return std::nullopt;
  const double mixing = 1.0 / (1.0 - plant.mixing.bypass_fan);
  return mixing * natural_log((dry_air_ppm - floor) / (target_ppm - floor));
}

double heated_capacity_J_per_K(const plant::Parameters& p) {
  return p.heater.heat_capacity_J_per_K + p.wall.baffles_J_per_K + p.wall.heat_capacity_J_per_K +
         p.load.mass_kg * p.load.specific_heat_J_per_kgK + p.load.rack_J_per_K +
         p.insulation.inner_J_per_K / 2.0;
}

double loss_W_per_K(const plant::Parameters& p) {
  return 1.0 / (1.0 / p.insulation.wall_inner_W_per_K + 1.0 / p.insulation.inner_outer_W_per_K +
                1.0 / p.insulation.outer_casing_W_per_K + 1.0 / p.insulation.casing_room_W_per_K);
}

double ramp_power_W(const plant::Parameters& p, double rate_K_per_min, double to_degC) {
  // Shaft power goes with density: p M / (R T).
  const double fan_W = p.fan.shaft_power_W * (normal_K + ambient_degC) /
                       (normal_K + std::max(to_degC, ambient_degC));
  return heated_capacity_J_per_K(p) * rate_K_per_min / 60.0 +
         loss_W_per_K(p) * (to_degC - ambient_degC) - fan_W;
}

Derived derive(const Machine& m) {
  const plant::Parameters& p = m.plant;
  const bool monitored = m.settings.options.oxygen_sensor != settings::OxygenSensor::none;
  const double purge_flow = p.supply.purge_L_per_min;
  const double process_flow = p.supply.process_L_per_min;
  const double volumes = purge_volumes(m);
  const double purge_s = volumes * chamber_L(m) / purge_flow * 60.0 +
                         (monitored ? m.settings.purge.gate_hold.value / 1000.0 : 0.0);
  const double heat_s = heating_s(m);
  const double cool_s = cooling_s(m);
  const double gas_L = purge_flow * purge_s / 60.0 + process_flow * (heat_s + cool_s) / 60.0;
  const double hottest = hottest_degC(m);
  const double room_L_per_min = p.room.volume_m3 * 1000.0 * p.room.air_changes_per_h / 60.0;
  const double room_ppm = dry_air_ppm * room_L_per_min / (room_L_per_min + purge_flow);
  const double still_ppm = std::max(0.0, dry_air_ppm * (1.0 - gas_L / (p.room.volume_m3 * 1000.0)));

  Derived out;
  const auto add = [&](std::string_view id, std::string_view what, double value,
                       Dimension dimension, std::string_view unit, std::string_view formula) {
    out.figures.push_back({id, what, value, dimension, unit, formula});
  };
  add("purge_volume_changes", monitored ? "volume changes to the gate" : "volume changes of purge",
      volumes, Dimension::number, "",
      monitored ? "stirred dilution with mixing factor" : "as set, by proven flow");
  add("purge_s", "purge time", purge_s, Dimension::time, "min",
      "volume changes x volume / flow, + hold");
  if (!monitored) {
    // exp(-N/K) by inverting the logarithm would need exp; bisection on natural_log needs none.
    double low = oxygen_floor_ppm(p, purge_flow);
    double high = dry_air_ppm;
    for (int i = 0; i < 60; ++i) {
      const double middle = (low + high) / 2.0;
      const auto needs = volume_changes_to(p, middle);
      (needs && *needs <= volumes ? high : low) = middle;
    }
    add("purge_end_ppm", "oxygen after purge", high, Dimension::mole_fraction, "ppm",
        "stirred dilution with mixing factor");
  }
  add("floor_purge_ppm", "oxygen floor at purge flow", oxygen_floor_ppm(p, purge_flow),
      Dimension::mole_fraction, "ppm", "leak x 0.2095 / flow + supply");
  add("floor_process_ppm", "oxygen floor at process flow", oxygen_floor_ppm(p, process_flow),
      Dimension::mole_fraction, "ppm", "leak x 0.2095 / flow + supply");
  add("heating_s", "heat-up and soaks", heat_s, Dimension::time, "min",
      "programme, heat balance of one lump");
  add("hold_W", "heater power at the hottest soak", std::max(0.0, ramp_power_W(p, 0.0, hottest)),
      Dimension::power, "kW", "conductances in series, less fan power");
  add("cooling_s", "cool-down to unloading", cool_s, Dimension::time, "min",
      p.cooling.fitted ? "one lump, jacket effectiveness" : "one lump, losses only");
  add("cycle_s", "whole cycle, door closed", purge_s + heat_s + cool_s, Dimension::time, "h",
      "sum");
  add("gas_m3", "gas used in a cycle", gas_L / 1000.0, Dimension::volume, "m3", "flow x time");
  if (!p.exhaust.ducted) {
    add("room_ppm", "room oxygen while purging, steady", room_ppm, Dimension::mole_fraction, "%",
        "stirred room: 20.95 % x Q / (Q + R)");
  }
  add("room_still_ppm", "room oxygen, a cycle's gas, no air change", still_ppm,
      Dimension::mole_fraction, "%", "displacement: 20.95 % x (V - gas) / V");

  if (!p.exhaust.ducted && room_ppm < least_room_oxygen_ppm) {
    out.cautions.push_back(
        {fmt::format("The stated ventilation lets the room fall to {} oxygen while "
                     "purging: people must not be in it.",
                     format_rounded(room_ppm, Dimension::mole_fraction, "%"))});
  }
  if (still_ppm < least_room_oxygen_ppm) {
    out.cautions.push_back(
        {fmt::format("One cycle's gas released into the room without air change leaves {} oxygen, "
                     "below 19.5 %: monitor the room.",
                     format_rounded(still_ppm, Dimension::mole_fraction, "%"))});
  }
  return out;
}

}  // namespace ovenproof::machine
