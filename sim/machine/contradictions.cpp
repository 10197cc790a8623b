#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "firmware/settings/validate.hpp"
#include "sim/machine/checker.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/machine/given.hpp"
#include "sim/machine/keys.hpp"
#include "sim/plant/network.hpp"

namespace ovenproof::machine {

namespace {

std::string segment_key(std::size_t item, std::string_view name) {
  return fmt::format("{}[{}].{}", segment_list, item + 1, name);
}

/// The file's path of a setting: "programme.segment_2.soak" stands in the second item of a list.
std::string file_path(std::string_view setting) {
  constexpr std::string_view prefix = "programme.segment_";
  if (setting.starts_with(prefix)) {
    const std::string_view rest = setting.substr(prefix.size());
    const std::size_t dot = rest.find('.');
    if (dot != std::string_view::npos) {
      return fmt::format("{}[{}]{}", segment_list, rest.substr(0, dot), rest.substr(dot));
    }
  }
  return std::string(setting);
}

std::size_t hottest_segment(const Machine& m) {
  std::size_t hottest = 0;
  for (std::size_t i = 1; i < m.settings.programme.segment_count; ++i) {
    if (m.settings.programme.segments[i].target > m.settings.programme.segments[hottest].target) {
      hottest = i;
    }
  }
  return hottest;
}

/// Keys besides the two that the firmware names, without which its verdict means nothing.
std::vector<std::string> also_involved(const Machine& m, settings::Rule rule) {
  using settings::Rule;
  switch (rule) {
    case Rule::gate_below_hold_limit:
      return {};
    case Rule::purge_fits_timeout:
      return {"purge.chamber_volume", "purge.purge_flow"};
    case Rule::target_below_high_limit:
    case Rule::target_above_unload:
      return {segment_key(hottest_segment(m), "target")};
    case Rule::heating_fits_timeout: {
      std::vector<std::string> keys;
      for (std::size_t i = 0; i < m.settings.programme.segment_count; ++i) {
        for (const std::string_view name : {"target", "ramp", "soak"})
          keys.push_back(segment_key(i, name));
      }
      return keys;
    }
    default:
      return {};
  }
}

/// What the controller itself would refuse to run with.
void check_settings(Checker& check, const Machine& m) {
  for (const settings::Violation& violation : settings::validate(m.settings)) {
    std::vector<std::string> keys{file_path(settings::table[violation.setting].key)};
    const auto add = [&](std::string key) {
      if (std::find(keys.begin(), keys.end(), key) == keys.end()) keys.push_back(std::move(key));
    };
    add(file_path(settings::table[violation.other].key));
    for (std::string& key : also_involved(m, violation.rule)) add(std::move(key));
    check.need(false, keys, std::string(violation.expected));
  }
}

void check_gas(Checker& check, const Machine& m) {
  const plant::Parameters& p = m.plant;
  const double process_floor = oxygen_floor_ppm(p, p.supply.process_L_per_min);
  const double purge_floor = oxygen_floor_ppm(p, p.supply.purge_L_per_min);
  const double gate = m.settings.purge.gate.value;
  check.need(
      process_floor * floor_margin <= m.settings.purge.hold_limit.value,
      {"purge.process_flow", "purge.hold_limit", "tightness.air_ingress", "supply.oxygen"},
      fmt::format("a process flow that holds purge.hold_limit: the oxygen floor, 0.2095 x K leak / "
                  "flow + supply, is {:.3g} ppm and must be {} times lower than the hold limit",
                  process_floor, floor_margin));
  check.need(
      purge_floor * floor_margin <= gate,
      {"purge.purge_flow", "purge.gate", "tightness.air_ingress", "supply.oxygen"},
      fmt::format("a purge flow that reaches purge.gate: the oxygen floor, 0.2095 x K leak / flow "
                  "+ supply, is {:.3g} ppm and must be {} times lower than the gate",
                  purge_floor, floor_margin));
  if (m.settings.options.oxygen_sensor == settings::OxygenSensor::none) {
    const double limit = p.load.max_oxygen_ppm;
    const auto volumes = volume_changes_to(p, limit / floor_margin);
    check.need(
        volumes && *volumes <= m.settings.purge.minimum_volumes,
        {"purge.minimum_volumes", "load.max_oxygen", "purge.purge_flow", "tightness.air_ingress"},
        volumes ? fmt::format("at least {:.3g} volume changes: by stirred dilution the load's "
                              "limit of oxygen is not safely met before",
                              *volumes)
                : "a purge flow and a leak that let purging reach the load's limit of oxygen");
    check.need(
        process_floor * floor_margin <= limit,
        {"purge.process_flow", "load.max_oxygen", "tightness.air_ingress", "supply.oxygen"},
        fmt::format("a process flow that holds load.max_oxygen: the oxygen floor is {:.3g} ppm",
                    process_floor));
  } else if (const auto volumes = volume_changes_to(p, gate)) {
    const double reach_s =
        *volumes * volume_change_s(p) + m.settings.purge.gate_hold.value / 1000.0;
    check.need(
        reach_s <= m.settings.purge.timeout.value / 1000.0,
        {"purge.timeout", "purge.gate", "purge.chamber_volume", "purge.purge_flow"},
        fmt::format("longer than {:.0f} s, which stirred dilution and the hold take to the gate",
                    reach_s));
  }
  check.need(m.settings.purge.hold_limit.value <= p.load.max_oxygen_ppm,
             {"purge.hold_limit", "load.max_oxygen"}, "purge.hold_limit at most load.max_oxygen");
  const double purge_Pa = p.exhaust.cracking_pressure_Pa +
                          p.supply.purge_L_per_min / p.exhaust.conductance_L_per_min_Pa;
  check.need(
      purge_Pa <= p.chamber.max_pressure_Pa,
      {"purge.purge_flow", "exhaust.conductance", "exhaust.cracking_pressure",
       "chamber.max_pressure"},
      fmt::format("at most chamber.max_pressure while purging: the exhaust backs up to {:.0f} Pa",
                  purge_Pa));
  check_relief(check, m, purge_Pa);
  check.need(p.switches.supply_kPa <= p.supply.pressure_kPa, {"switches.supply", "supply.pressure"},
             "switches.supply at most supply.pressure, or the switch never makes");
  check.need(p.switches.supply_hysteresis_kPa < p.switches.supply_kPa,
             {"switches.supply_hysteresis", "switches.supply"},
             "switches.supply_hysteresis below switches.supply, or the switch never breaks");
  check.need(p.supply.regulator_drop_kPa <= p.supply.pressure_kPa,
             {"supply.regulator_drop", "supply.pressure"},
             "supply.regulator_drop at most supply.pressure, or the flows are never reached");
}

void check_heat(Checker& check, const Machine& m) {
  const plant::Parameters& p = m.plant;
  const std::string hottest = segment_key(hottest_segment(m), "target");
  const double target = m.settings.programme.segments[hottest_segment(m)].target.value;
  const double limit = m.settings.temperature.high_limit.value;
  check.need(p.limiter.set_point_degC > limit, {"limiter.set_point", "temperature.high_limit"},
             "limiter.set_point above temperature.high_limit");
  check.need(p.limiter.set_point_degC > target, {"limiter.set_point", hottest},
             "limiter.set_point above the highest target");
  check.need(p.wall.max_temperature_degC >= p.limiter.set_point_degC,
             {"limiter.set_point", "wall.max_temperature"},
             "limiter.set_point at most wall.max_temperature");
  check.need(p.heater.max_temperature_degC >= p.limiter.set_point_degC,
             {"limiter.set_point", "heater.max_temperature"},
             "limiter.set_point at most heater.max_temperature");
  if (p.load.max_temperature_degC) {
    check.need(*p.load.max_temperature_degC > target, {"load.max_temperature", hottest},
               "load.max_temperature above the highest target");
  }
  check.need(m.settings.cooling.unload_temperature.value <= p.load.oxidation_temperature_degC,
             {"cooling.unload_temperature", "load.oxidation_temperature"},
             "cooling.unload_temperature at most load.oxidation_temperature");
  const double most_W = p.heater.power_W * m.settings.control.max_drive_permille / 1000.0;
  double from = 20.0;
  for (std::size_t i = 0; i < m.settings.programme.segment_count; ++i) {
    const settings::Segment& segment = m.settings.programme.segments[i];
    const double rate = segment.target.value > from ? segment.ramp_K_per_min : 0.0;
    const double needed_W = ramp_power_W(p, rate, segment.target.value);
    check.need(
        needed_W <= most_W,
        {"heater.power", segment_key(i, "ramp"), segment_key(i, "target"), "control.max_drive",
         "load.mass"},
        fmt::format("at least {:.3g} kW for this ramp at its target: heat capacity x rate + losses",
                    needed_W / 1e3));
    from = segment.target.value;
  }
}

/// Times that the plant takes against those that the controller grants: a part that is slower as
/// built than the controller waits would trip every cycle.
void check_times(Checker& check, const Machine& m) {
  const plant::Parameters& p = m.plant;
  const settings::Timing& t = m.settings.timing;
  // A proof is a contact, which the controller believes after its debounce; but that flow or
  // circulation is gone it believes at once.
  struct Proof {
    double takes_s;
    Milliseconds granted;
    std::string takes;
    std::string grants;
    bool debounced = true;
  };
  const double flow_s = p.switches.flow_lag_s;
  const std::array<Proof, 12> proofs{
      {{p.supply.purge_valve_stroke_s + flow_s, t.flow_proof, "supply.purge_valve_stroke",
        "timing.flow_proof"},
       {p.supply.process_valve_stroke_s + flow_s, t.flow_proof, "supply.process_valve_stroke",
        "timing.flow_proof"},
       {p.supply.purge_valve_stroke_s + flow_s, t.flow_gone, "supply.purge_valve_stroke",
        "timing.flow_gone", false},
       {p.supply.process_valve_stroke_s + flow_s, t.flow_gone, "supply.process_valve_stroke",
        "timing.flow_gone", false},
       {p.fan.run_up_s + p.fan.proof_lag_s, t.fan_start, "fan.run_up", "timing.fan_start"},
       {p.fan.run_down_s + p.fan.proof_lag_s, t.fan_stop, "fan.run_down", "timing.fan_stop", false},
       {p.contactors.pull_in_s, t.contactor_response, "contactors.pull_in",
        "timing.contactor_response"},
       {p.contactors.drop_out_s, t.contactor_response, "contactors.drop_out",
        "timing.contactor_response"},
       {p.cooling.damper_open_s, t.damper_open_travel, "cooling.damper_open",
        "timing.damper_open_travel"},
       {p.cooling.damper_close_s, t.damper_close_travel, "cooling.damper_close",
        "timing.damper_close_travel"},
       {p.cooling.blower_run_up_s, t.blower_start, "cooling.blower_run_up", "timing.blower_start"},
       {p.cooling.blower_run_down_s, t.blower_stop, "cooling.blower_run_down",
        "timing.blower_stop"}}};
  const double debounce_s = m.settings.contacts.contact_debounce.value / 1000.0;
  for (const Proof& each : proofs) {
    const double takes_s = each.takes_s + (each.debounced ? debounce_s : 0.0);
    std::vector<std::string> keys{each.grants, each.takes};
    if (each.debounced) keys.emplace_back("contacts.contact_debounce");
    check.need(
        takes_s * 1000.0 < each.granted.value, keys,
        fmt::format("{} longer than the {:.3g} s that it takes by {}{}", each.grants, takes_s,
                    each.takes, each.debounced ? " and contacts.contact_debounce" : ""));
  }
  const double warm_s = oxygen_warm_up_s(p);
  check.need(warm_s * 1000.0 < m.settings.oxygen.warm_up_maximum.value,
             {"oxygen.warm_up_maximum", "oxygen.warm_up_time_constant"},
             fmt::format("oxygen.warm_up_maximum longer than the {:.3g} s that it takes by "
                         "oxygen.warm_up_time_constant",
                         warm_s));
}

/// The parts of the oven that could relax too quickly for a scan, and the keys that make them so.
struct SteppedPart {
  plant::Relaxing part;
  std::string_view what;
  std::vector<std::string> keys;
};

std::vector<SteppedPart> stepped_parts(const plant::Parameters& p) {
  using plant::Relaxing;
  std::vector<SteppedPart> parts{
      {Relaxing::elements,
       "the heater's elements",
       {"heater.heat_capacity", "heater.convection_fan", "heater.convection_still",
        "heater.wall_radiation"}},
      {Relaxing::gas,
       "the gas with the thin sheet in it",
       {"wall.baffles", "heater.convection_fan", "heater.convection_still", "wall.convection_fan",
        "wall.convection_still", "load.convection_fan", "load.convection_still"}},
      {Relaxing::wall,
       "the wall",
       {"wall.heat_capacity", "wall.convection_fan", "wall.convection_still",
        "heater.wall_radiation", "load.wall_radiation", "insulation.wall_inner", "door.aperture",
        "door.emissivity"}},
      {Relaxing::load,
       "the outside of the load",
       {"load.rack", "load.mass", "load.specific_heat", "load.inside_fraction",
        "load.convection_fan", "load.convection_still", "load.wall_radiation",
        "load.inside_conductance", "door.aperture", "door.emissivity"}}};
  if (p.cooling.fitted) parts[2].keys.emplace_back("cooling.ua");
  for (SteppedPart& each : parts) each.keys.emplace_back("scan.period");
  return parts;
}

/// A light part with large conductances follows its neighbours more quickly than the simulated oven
/// can be stepped. By their ranges no other parts than these can be so quick.
void check_steps(Checker& check, const Machine& m) {
  const auto rates = plant::relaxation_rates_per_s(m.plant, plant::constants(m.plant, {}, {}));
  const double scan_s = m.settings.scan.period.value / 1000.0;
  for (const SteppedPart& each : stepped_parts(m.plant)) {
    const double rate = rates[static_cast<std::size_t>(each.part)];
    check.need(
        plant::can_be_stepped(rate, scan_s), each.keys,
        fmt::format("a heat capacity more than {:.3g} times as large, or conductances as much "
                    "smaller: {} would follow what surrounds them within {:.2g} ms, too quick to "
                    "be simulated in scans of {:.0f} ms",
                    rate * scan_s / 2.0, each.what, 1000.0 / rate, scan_s * 1000.0));
  }
}

/// The plant samples its sensors every 100 ms and resolves contacts within 10 ms.
void check_scan(Checker& check, const Machine& m) {
  const std::uint32_t period_ms = m.settings.scan.period.value;
  check.need(
      period_ms >= 1 && period_ms <= 10 && 100 % period_ms == 0, {"scan.period"},
      "at most 10 ms and a whole fraction of 100 ms, or the simulated oven cannot be stepped "
      "by it");
}

void look_at_programme(Checker& look, const Machine& m) {
  for (std::size_t i = 1; i < m.settings.programme.segment_count; ++i) {
    const float before = m.settings.programme.segments[i - 1].target.value;
    look.need(m.settings.programme.segments[i].target.value >= before,
              {segment_key(i, "target"), segment_key(i - 1, "target")},
              "a target not below the one before: while the programme runs the oven cools by its "
              "losses alone, however steep the ramp");
  }
}

/// In heating the controller takes the heat away at the hold limit; the gate is asked for after the
/// purge flow only. Between the two the oven runs, with less in hand than the file seems to say.
void look_at_process_floor(Checker& look, const Machine& m) {
  const double floor = oxygen_floor_ppm(m.plant, m.plant.supply.process_L_per_min);
  const double gate = m.settings.purge.gate.value;
  look.need(
      floor * floor_margin <= gate,
      {"purge.process_flow", "purge.gate", "purge.hold_limit", "tightness.air_ingress",
       "supply.oxygen"},
      fmt::format("a process flow that holds purge.gate: the oxygen floor, 0.2095 x K leak / flow "
                  "+ supply, is {:.3g} ppm and must be {} times lower than the gate of {:.4g} ppm. "
                  "At process flow the oxygen rises to that floor; heat is taken away at "
                  "purge.hold_limit, {:.4g} ppm, which is {:.2g} times the floor",
                  floor, floor_margin, gate, m.settings.purge.hold_limit.value,
                  m.settings.purge.hold_limit.value / floor));
}

/// A cycle may be started on a cold cell: the purge then waits for the reading.
void look_at_warm_up(Checker& look, const Machine& m) {
  if (m.settings.options.oxygen_sensor == settings::OxygenSensor::none) return;
  const auto volumes = volume_changes_to(m.plant, m.settings.purge.gate.value);
  if (!volumes) return;
  const bool cell = m.settings.options.oxygen_sensor == settings::OxygenSensor::zirconia_cell;
  const double settle_s = cell ? m.settings.oxygen.cell_settle.value / 1000.0 : 0.0;
  const double warm_s = oxygen_warm_up_s(m.plant) + settle_s;
  const double purge_s =
      *volumes * volume_change_s(m.plant) + m.settings.purge.gate_hold.value / 1000.0;
  std::vector<std::string> keys{"purge.timeout", "oxygen.warm_up_time_constant"};
  if (cell) keys.emplace_back("oxygen.cell_settle");
  keys.insert(keys.end(), {"purge.gate", "purge.chamber_volume", "purge.purge_flow"});
  look.need(m.settings.purge.timeout.value / 1000.0 > warm_s + purge_s, keys,
            fmt::format("longer than {:.0f} s: the oxygen reading takes {:.0f} s to be valid from "
                        "cold, and the purge {:.0f} s",
                        warm_s + purge_s, warm_s, purge_s));
}

/// The gate reads the exhaust, which is that of the stirred zone.
void look_at_pockets(Checker& look, const Machine& m) {
  const plant::Parameters& p = m.plant;
  const bool gate = m.settings.options.oxygen_sensor != settings::OxygenSensor::none;
  const double ppm = pockets_after_purge_ppm(
      p, m.settings.purge.minimum_volumes,
      gate ? std::optional<double>(m.settings.purge.gate.value) : std::nullopt,
      m.settings.purge.gate_hold.value / 1000.0);
  std::vector<std::string> keys{"purge.minimum_volumes", "load.max_oxygen",
                                "mixing.pocket_time_fan", "mixing.pocket_fraction"};
  if (gate) keys.insert(keys.begin(), {"purge.gate_hold", "purge.gate"});
  look.need(ppm <= p.load.max_oxygen_ppm, keys,
            fmt::format("a purge long enough for the pockets, where the load may lie: they still "
                        "hold about {:.0f} ppm of oxygen when it ends, more than load.max_oxygen",
                        ppm));
}

/// The limiter alone takes the heat away when the controller cannot.
void look_at_load_limit(Checker& look, const Machine& m) {
  const std::optional<double>& limit = m.plant.load.max_temperature_degC;
  look.need(!limit || m.plant.limiter.set_point_degC <= *limit,
            {"limiter.set_point", "load.max_temperature"},
            "at most load.max_temperature, or nothing hard-wired keeps the load below it");
}

}  // namespace

std::vector<Error> warnings(const Machine& machine, const Given& given, const std::string& file) {
  Checker look(machine, given, file);
  look_at_guards(look, machine);
  look_at_load_limit(look, machine);
  look_at_pockets(look, machine);
  look_at_programme(look, machine);
  look_at_process_floor(look, machine);
  look_at_warm_up(look, machine);
  look_at_course(look, machine);
  look_at_people(look, machine);
  look_at_safety(look, machine);
  return std::move(look).errors();
}

std::vector<Error> contradictions(const Machine& machine, const Given& given,
                                  const std::string& file) {
  Checker check(machine, given, file);
  check_settings(check, machine);
  check_gas(check, machine);
  check_gas_flow(check, machine);
  check_heat(check, machine);
  check_times(check, machine);
  check_steps(check, machine);
  check_safety(check, machine);
  check_scan(check, machine);
  return std::move(check).errors();
}

}  // namespace ovenproof::machine
