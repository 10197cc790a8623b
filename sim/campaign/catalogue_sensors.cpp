#include <fmt/format.h>

#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/machine/io_list.hpp"
#include "sim/plant/thermocouple_emf.hpp"

namespace ovenproof::campaign {
namespace {

using hal::AnalogIn;
using enum logic::Cause;
using Causes = std::vector<logic::Cause>;

/// How far wrong a sensor goes, in the unit of its terminals, and what must be told.
struct Sensor {
  double jump = 0.0;         ///< reads suddenly high; low is the same the other way
  double drift_per_h = 0.0;  ///< creeps up; down is the same the other way
  double noise = 0.0;
  std::string_view means_jump;  ///< the jump in words
  Causes broken;                ///< open or short: out of range
  Causes stuck, high, low;
  bool high_is_short = false;  ///< a short reads as a value of the range: like `low`
};

Sensor thermocouple(const machine::Machine& machine) {
  const plant::ThermocoupleType type = machine.plant.thermocouples.type;
  const double mV_per_K = (plant::emf_mV(type, 550.0) - plant::emf_mV(type, 450.0)) / 100.0;
  Sensor s;
  s.jump = 50.0 * mV_per_K;
  s.drift_per_h = 20.0 * mV_per_K;
  s.noise = 5.0 * mV_per_K;
  s.means_jump = "50 K";
  s.broken = {temperature_invalid};
  s.stuck = {thermocouples_disagree, no_temperature_rise};
  s.high = {thermocouples_disagree, temperature_rate_implausible, over_temperature,
            temperature_invalid, rise_without_demand};
  s.low = {thermocouples_disagree, temperature_rate_implausible, no_temperature_rise,
           limiter_tripped, temperature_invalid};
  s.high_is_short = true;
  return s;
}

Sensor sensor_of(AnalogIn point, const machine::Machine& machine) {
  Sensor s;
  switch (point) {
    case AnalogIn::te_a:
    case AnalogIn::te_b:
      return thermocouple(machine);
    case AnalogIn::cold_junction:
      s = {19.0, 3.8, 0.8, "50 K", {temperature_invalid}, {}, {}, {}, false};
      // Both thermocouples go wrong with it.
      s.high = {temperature_invalid, temperature_rate_implausible, over_temperature};
      s.low = {temperature_invalid, temperature_rate_implausible, limiter_tripped};
      return s;
    case AnalogIn::oxygen_cell:
      s = {30.0, 10.0, 3.0, "30 mV, leaner", {oxygen_invalid}, {}, {}, {}, true};
      // More mV is less oxygen.
      s.stuck = {oxygen_frozen, oxygen_not_falling, oxygen_air_check_failed};
      s.high = {oxygen_air_check_failed, oxygen_falls_too_soon, oxygen_invalid};
      s.low = {oxygen_air_check_failed, oxygen_not_falling, gate_not_met_in_time, repurge_limit,
               oxygen_invalid};
      return s;
    case AnalogIn::oxygen_cell_tc:
      s = {4.0, 2.0, 0.4, "100 K", {oxygen_invalid}, {}, {oxygen_invalid}, {oxygen_invalid}, true};
      s.stuck = {oxygen_invalid};
      return s;
    case AnalogIn::oxygen_loop:
      s = {3.0, 1.0, 0.5, "3 mA, richer", {oxygen_invalid}, {}, {}, {}, false};
      s.stuck = {oxygen_frozen, oxygen_not_falling, oxygen_air_check_failed};
      s.high = {oxygen_air_check_failed, oxygen_not_falling, gate_not_met_in_time, repurge_limit,
                oxygen_invalid};
      s.low = {oxygen_air_check_failed, oxygen_falls_too_soon, oxygen_invalid};
      return s;
    case AnalogIn::count:
      break;
  }
  return s;
}

void add_sensor(const machine::Point& point, const std::string& tag,
                const machine::Machine& machine, std::vector<Mode>& all) {
  const auto input = static_cast<AnalogIn>(point.index);
  const Sensor sensor = sensor_of(input, machine);
  const std::string name(mock::name(input));
  const std::string_view unit = mock::unit(input);
  const auto add = [&](std::string_view mode_name, std::string what, std::string source,
                       const Causes& right, Onset onset, const std::string& effect) {
    Mode mode;
    mode.id = fmt::format("{}.{}", tag, mode_name);
    mode.component = tag;
    mode.kind = ComponentKind::sensor;
    mode.what = fmt::format("{}: {}", point.what, what);
    mode.source = std::move(source);
    mode.realisations.push_back(realise(onset, {fmt::format("fault: {} {}", name, effect)}));
    mode.right_first_outs = right;
    all.push_back(std::move(mode));
  };
  const std::string wires = fmt::format("{}: conductors", annex_D);
  const std::string practice(usual);
  const Causes& shorted = sensor.high_is_short ? sensor.low : sensor.broken;
  add("open", "wire broken", wires, sensor.broken, Onset::abrupt, "open");
  add("short", "wires shorted", wires, shorted, Onset::abrupt, "short");
  add("loose", "comes and goes: 0.3 s open every 20 s", wires, sensor.broken, Onset::intermittent,
      "intermittent 300 ms every 20 s");
  add("stuck", "keeps its reading", practice, sensor.stuck, Onset::abrupt, "frozen");
  add("high", fmt::format("reads high by {}", sensor.means_jump), practice, sensor.high,
      Onset::abrupt, fmt::format("offset {:.4g} {}", sensor.jump, unit));
  add("low", fmt::format("reads low by as much"), practice, sensor.low, Onset::abrupt,
      fmt::format("offset {:.4g} {}", -sensor.jump, unit));
  add("drift_up", fmt::format("creeps up by {:.3g} {} in an hour", sensor.drift_per_h, unit),
      practice, sensor.high, Onset::drifting,
      fmt::format("drift {:.4g} {}/h", sensor.drift_per_h, unit));
  add("drift_down", fmt::format("creeps down by {:.3g} {} in an hour", sensor.drift_per_h, unit),
      practice, sensor.low, Onset::drifting,
      fmt::format("drift {:.4g} {}/h", -sensor.drift_per_h, unit));
  Causes noisy = sensor.high;
  noisy.insert(noisy.end(), sensor.low.begin(), sensor.low.end());
  add("noise", fmt::format("noise of {:.3g} {} either way", sensor.noise, unit), practice, noisy,
      Onset::abrupt, fmt::format("noise {:.4g} {}", sensor.noise, unit));
}

}  // namespace

std::vector<Mode> sensor_modes(const machine::Machine& machine) {
  std::vector<Mode> all;
  const auto points = machine::all_points();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const machine::Point& point = points[i];
    if (point.signal != machine::Signal::analog_in) continue;
    if (!machine::has_part(point.part, machine.settings.options)) continue;
    add_sensor(point, machine.tags[i], machine, all);
  }
  return all;
}

}  // namespace ovenproof::campaign
