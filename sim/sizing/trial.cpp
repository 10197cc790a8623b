#include "sim/sizing/trial.hpp"

#include <algorithm>

#include "sim/formulas/room.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/plant/plant.hpp"

namespace ovenproof::sizing {

namespace {

using plant::Parameters;
using plant::Plant;

/// Nobody is there to press reset: what is driven is fed.
Parameters fed_directly(Parameters p) {
  p.outputs.supply_latched = false;
  return p;
}

/// One oven with its actuators held.
struct Bench {
  Bench(const Parameters& p, const plant::InitialCondition& initial)
      : around{machine::ambient_degC, p.supply.pressure_kPa, 1.0},
        oven(fed_directly(p), around, initial) {}

  void run(double seconds) {
    const auto scans = static_cast<long>(seconds / oven.timing().scan_s + 0.5);
    for (long i = 0; i < scans; ++i) oven.step(act, {}, around);
  }
  [[nodiscard]] double time_s() const {
    return static_cast<double>(oven.state().scans) * oven.timing().scan_s;
  }

  plant::Surroundings around;
  plant::Actuation act;
  Plant oven;
};

constexpr double look_every_s = 1.0;

}  // namespace

PurgeTrial purge_trial(const Parameters& p, double level_ppm, double limit_s) {
  Bench bench(p, {});
  bench.act.fan = bench.act.purge_valve = true;
  PurgeTrial trial;
  while (bench.time_s() < limit_s) {
    bench.run(look_every_s);
    const plant::Truth truth = bench.oven.truth();
    trial.gas_L = truth.gas_used_L;
    trial.mean_L_per_min = trial.gas_L / bench.time_s() * 60.0;
    trial.exhaust_L_per_min = truth.exhaust_L_per_min;
    if (truth.oxygen * 1e6 <= level_ppm) {
      trial.seconds = bench.time_s();
      break;
    }
  }
  return trial;
}

double floor_trial_ppm(const Parameters& p, double flow_L_per_min) {
  Parameters at_flow = p;
  at_flow.supply.process_L_per_min = flow_L_per_min;
  // Near its end from the start: what is looked for is the level, not the way there.
  Bench bench(at_flow, {machine::ambient_degC,
                        machine::oxygen_floor_ppm(at_flow, flow_L_per_min) * 1e-6, true});
  bench.act.fan = bench.act.process_valve = true;
  const double volume_change_s = p.chamber.volume_m3 * 1000.0 / flow_L_per_min * 60.0;
  bench.run(std::clamp(6.0 * volume_change_s, 600.0, 4 * 86400.0));
  return bench.oven.truth().oxygen * 1e6;
}

std::optional<double> holding_trial_L_per_min(const Parameters& p, double level_ppm,
                                              double first_L_per_min) {
  double flow = first_L_per_min;
  for (int i = 0; i < 6; ++i) {
    const double ppm = floor_trial_ppm(p, flow);
    const double above_supply = ppm - p.supply.oxygen_ppm;
    if (!(above_supply > 0.0)) return std::nullopt;
    // What the air brings in is diluted by the flow.
    flow *= above_supply / (level_ppm - p.supply.oxygen_ppm);
    const double error = ppm / level_ppm - 1.0;
    if (error < 1e-3 && error > -1e-3) return flow;
  }
  return std::nullopt;
}

CoolingTrial cooling_trial(const Parameters& p, double from_degC, double to_degC, bool jacket,
                           double limit_s) {
  constexpr int window = 30;  // s
  Bench bench(p,
              {from_degC, machine::oxygen_floor_ppm(p, p.supply.process_L_per_min) * 1e-6, true});
  bench.act.fan = bench.act.process_valve = true;
  bench.act.damper_open = bench.act.blower = jacket;
  CoolingTrial trial;
  const double before_J = bench.oven.stored_energy_J();
  double jacket_J = 0.0;
  double air_K_s = 0.0;
  double blown_s = 0.0;
  double taken_L = 0.0;
  int in_window = 0;
  long seconds = 0;
  trial.least_degC = from_degC;
  trial.lowest_Pa = p.exhaust.cracking_pressure_Pa + p.chamber.max_pressure_Pa;
  double least_an_hour_ago = from_degC + 1.0;
  while (bench.time_s() < limit_s) {
    bench.run(look_every_s);
    const plant::Truth t = bench.oven.truth();
    trial.least_degC = std::min(trial.least_degC, t.gas_degC);
    if (++seconds % 3600 == 0) {
      if (trial.least_degC > least_an_hour_ago - 0.02) break;  // it gets no colder
      least_an_hour_ago = trial.least_degC;
    }
    trial.gas_L_per_min = t.gas_used_L / bench.time_s() * 60.0;
    if (bench.time_s() > window + 0.5) trial.lowest_Pa = std::min(trial.lowest_Pa, t.pressure_Pa);
    // The first window fills fan and valves: what is taken up then is no shrinking.
    taken_L += (t.gas_L_per_min + t.vacuum_relief_L_per_min - t.exhaust_L_per_min -
                t.relief_L_per_min - t.leak_L_per_min) /
               60.0 * look_every_s;
    if (++in_window == window) {
      if (bench.time_s() > window + 0.5) {
        trial.make_up_L_per_min = std::max(trial.make_up_L_per_min, taken_L * 60.0 / window);
      }
      in_window = 0;
      taken_L = 0.0;
    }
    if (!trial.gas_s) {
      jacket_J += t.jacket_W * look_every_s;
      if (jacket && t.jacket_kg_per_s > 1e-6 && t.blower_speed > 0.99 && t.damper_opening > 0.99) {
        const double rise_K = t.jacket_W / (t.jacket_kg_per_s * plant::air_specific_heat);
        air_K_s += rise_K * look_every_s;
        blown_s += look_every_s;
        trial.air_peak_degC = std::max(trial.air_peak_degC, machine::ambient_degC + rise_K);
      }
      if (t.gas_degC <= to_degC) {
        trial.gas_s = bench.time_s();
        trial.mean_W = (before_J - bench.oven.stored_energy_J()) / *trial.gas_s;
        trial.jacket_mean_W = jacket_J / *trial.gas_s;
        if (blown_s > 0.0) trial.air_mean_degC = machine::ambient_degC + air_K_s / blown_s;
      }
    }
    if (trial.gas_s && t.wall_degC <= to_degC && t.load_degC <= to_degC &&
        t.load_inside_degC <= to_degC) {
      trial.all_s = bench.time_s();
      break;
    }
  }
  return trial;
}

RoomTrial room_trial(const Parameters& p, double ventilation_share, double limit_s) {
  Parameters open = p;
  open.exhaust.ducted = false;
  Bench bench(open, {machine::ambient_degC,
                     machine::oxygen_floor_ppm(p, p.supply.purge_L_per_min) * 1e-6, true});
  bench.act.fan = bench.act.purge_valve = true;
  bench.around.ventilation_share = ventilation_share;
  RoomTrial trial;
  while (bench.time_s() < limit_s) {
    bench.run(look_every_s);
    trial.steady = bench.oven.truth().room_oxygen;
    if (!trial.warning_s && trial.steady <= plant::least_oxygen_for_people) {
      trial.warning_s = bench.time_s();
    }
  }
  return trial;
}

}  // namespace ovenproof::sizing
