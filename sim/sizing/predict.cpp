#include "sim/sizing/predict.hpp"

#include <algorithm>

#include "sim/formulas/gas.hpp"
#include "sim/formulas/heat.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/plant/constants.hpp"
#include "sim/plant/portable_math.hpp"

namespace ovenproof::sizing {

using machine::ambient_degC;
using machine::Machine;

namespace {

double chamber_L(const Machine& m) { return m.plant.chamber.volume_m3 * 1000.0; }

void predict_purge(const Machine& m, Prediction& p) {
  const plant::Parameters& oven = m.plant;
  const settings::Purge& purge = m.settings.purge;
  p.floor_purge_ppm =
      machine::oxygen_floor_ppm(oven, oven.supply.purge_L_per_min + machine::sweep_L_per_min(oven));
  p.floor_process_ppm = machine::oxygen_floor_ppm(
      oven, oven.supply.process_L_per_min + machine::sweep_L_per_min(oven));
  p.gate_volumes = machine::volume_changes_to(oven, p.level_ppm);
  const double change_s = machine::volume_change_s(oven);
  if (p.gate_volumes) p.gate_s = *p.gate_volumes * change_s;
  // The controller counts litres of flow, which are those of 0 degC.
  p.minimum_s = static_cast<double>(purge.minimum_volumes) * chamber_L(m) /
                static_cast<double>(purge.counted_flow().value) * 60.0;
  if (!p.monitored) {
    p.purge_s = p.minimum_s;
  } else if (p.gate_s) {
    const double reading_s = oven.oxygen.transport_delay_s + oven.oxygen.cell_lag_s;
    p.purge_s = std::max(p.minimum_s, *p.gate_s + reading_s + purge.gate_hold.value / 1000.0);
  }
  if (p.purge_s) {
    p.purge_end_ppm =
        formulas::oxygen_after_ppm(formulas::dry_air_ppm, p.floor_purge_ppm,
                                   *p.purge_s / change_s * machine::mixing_share(oven));
  }
  const auto mixed = formulas::flow_to_hold(p.held_ppm, oven.supply.oxygen_ppm,
                                            oven.tightness.air_ingress_L_per_min);
  if (mixed) {
    const double held_by_path =
        *mixed / machine::mixing_share(oven) - machine::sweep_L_per_min(oven);
    if (held_by_path > 0.0) p.holding_L_per_min = held_by_path;
  }
}

void predict_heat(const Machine& m, Prediction& p) {
  const settings::Programme& programme = m.settings.programme;
  p.heating = heating(m);
  if (!p.heating.empty()) p.first_ramp = p.heating.front();
  if (p.heating.size() < 2 * std::size_t{programme.segment_count}) p.heating.clear();
  double hottest = ambient_degC;
  for (std::size_t i = 0; i < programme.segment_count; ++i) {
    p.last_degC = programme.segments[i].target.value;
    hottest = std::max(hottest, p.last_degC);
  }
  for (const Course& each : p.heating) {
    p.heating_s += each.seconds;
    p.heating_J += each.heater_J;
  }
  p.hold_W = std::max(0.0, machine::ramp_power_W(m.plant, 0.0, p.last_degC));
  p.casing_degC = ambient_degC + machine::casing_share(m.plant) * (hottest - ambient_degC);
  p.expansion_L_per_min = formulas::contraction_L_per_min(chamber_L(m), ambient_degC,
                                                          programme.segments[0].ramp_K_per_min);
}

void predict_cooling(const Machine& m, Prediction& p) {
  p.jacket = jacket_of(m.plant.cooling);
  if (m.plant.cooling.fitted) p.cool_jacket = cool(m.plant, p.last_degC, p.unload_degC, true);
  p.still_end_degC = cooling_end_degC(m.plant, false);
  p.cool_still = cool(m.plant, p.last_degC, p.unload_degC, false);
  const auto& cooling = p.cooling();
  if (!cooling) return;
  if (p.holding_L_per_min) {
    p.least_process_L_per_min = std::max(*p.holding_L_per_min, cooling->most_make_up_L_per_min);
  }
  // Near its end cooling is an exponential; its time constant from the last tenth of the way.
  const double end_degC = cooling_end_degC(m.plant, p.jacket.air_W_per_K > 0.0);
  const double near = p.unload_degC + 0.1 * (p.last_degC - p.unload_degC);
  const auto at = std::find_if(cooling->points.begin(), cooling->points.end(),
                               [near](const Point& point) { return point.value <= near; });
  if (at == cooling->points.end() || p.unload_degC <= end_degC || at->value <= p.unload_degC)
    return;
  const double tau_s = (cooling->seconds - at->s) /
                       plant::portable::log((at->value - end_degC) / (p.unload_degC - end_degC));
  const auto lag = formulas::lag_behind_s(tau_s, load_time_constant_s(m.plant, p.unload_degC));
  if (lag) p.door_s = cooling->seconds + *lag;
}

void predict_gas(const Machine& m, const Options& options, Prediction& p) {
  const plant::SupplyParameters& supply = m.plant.supply;
  p.cylinders_L =
      options.cylinder.count *
      formulas::cylinder_content_L(options.cylinder.volume_L, options.cylinder.pressure_bar,
                                   supply.pressure_kPa / 100.0, ambient_degC);
  if (!p.purge_s || p.heating.empty() || !p.cooling()) return;
  const double rest_s = p.heating_s + p.cooling()->seconds;
  p.cycle_s = *p.purge_s + rest_s;
  const double sweep = machine::sweep_L_per_min(m.plant);
  const double purged_L = (supply.purge_L_per_min + sweep) * *p.purge_s / 60.0;
  const double throughout_L = (supply.purge_L_per_min + sweep) * *p.cycle_s / 60.0;
  p.gas_L = purged_L + (supply.process_L_per_min + sweep) * rest_s / 60.0;
  p.saved_share = 1.0 - *p.gas_L / throughout_L;
  if (p.least_process_L_per_min) {
    p.saved_share_least =
        1.0 - (purged_L + (*p.least_process_L_per_min + sweep) * rest_s / 60.0) / throughout_L;
  }
}

void predict_room(const Machine& m, Prediction& p) {
  const plant::RoomParameters& room = m.plant.room;
  p.room_L = room.volume_m3 * 1000.0;
  p.ventilation_L_per_min = p.room_L * room.air_changes_per_h / 60.0;
  p.release_L_per_min =
      m.plant.supply.purge_L_per_min * plant::to_K(ambient_degC) / plant::celsius_zero_K;
}

}  // namespace

Prediction predict(const Machine& m, const Options& options) {
  Prediction p;
  p.monitored = m.settings.options.oxygen_sensor != settings::OxygenSensor::none;
  p.level_ppm = p.monitored ? m.settings.purge.gate.value : m.plant.load.max_oxygen_ppm;
  p.held_ppm = p.level_ppm / options.margin;
  p.unload_degC = m.settings.cooling.unload_temperature.value;
  predict_purge(m, p);
  predict_heat(m, p);
  predict_cooling(m, p);
  predict_gas(m, options, p);
  predict_room(m, p);
  return p;
}

std::vector<Point> predicted_temperature(const Prediction& p) {
  std::vector<Point> out;
  if (!p.purge_s) return out;
  out.push_back({0.0, ambient_degC});
  double s = *p.purge_s;
  const auto append = [&](const Course& course) {
    for (const Point& each : course.points) out.push_back({s + each.s, each.value});
    s += course.seconds;
  };
  for (const Course& each : p.heating) append(each);
  if (!p.heating.empty() && p.cooling()) append(*p.cooling());
  return out;
}

std::vector<Point> predicted_oxygen(const Machine& m, const Prediction& p) {
  constexpr int purge_points = 200;
  std::vector<Point> out;
  if (!p.purge_s) return out;
  const double share = machine::mixing_share(m.plant);
  const double change_s = machine::volume_change_s(m.plant);
  for (int i = 0; i <= purge_points; ++i) {
    const double s = *p.purge_s * i / purge_points;
    out.push_back({s, formulas::oxygen_after_ppm(formulas::dry_air_ppm, p.floor_purge_ppm,
                                                 s / change_s * share)});
  }
  // At process flow towards its own floor; a hot chamber holds fewer moles and is changed sooner.
  const double litres_per_s =
      (m.plant.supply.process_L_per_min + machine::sweep_L_per_min(m.plant)) * share / 60.0;
  const std::vector<Point> degC = predicted_temperature(p);
  for (std::size_t i = 1; i < degC.size(); ++i) {
    if (degC[i].s <= *p.purge_s) continue;
    const double whole_s = degC[i].s - degC[i - 1].s;
    const int parts = std::clamp(static_cast<int>(whole_s / 30.0), 1, 500);
    for (int k = 1; k <= parts; ++k) {
      const double at = degC[i - 1].value + (degC[i].value - degC[i - 1].value) * k / parts;
      const double held_L = formulas::at_zero_degC(chamber_L(m), at);
      out.push_back({degC[i - 1].s + whole_s * k / parts,
                     formulas::oxygen_after_ppm(out.back().value, p.floor_process_ppm,
                                                litres_per_s * whole_s / parts / held_L)});
    }
  }
  return out;
}

}  // namespace ovenproof::sizing
