#include "sim/sizing/size.hpp"

#include "sim/machine/estimate.hpp"
#include "sim/sizing/cautions.hpp"
#include "sim/sizing/curve.hpp"
#include "sim/sizing/figures.hpp"

namespace ovenproof::sizing {

namespace {

FloorTable floors(const machine::Machine& m, const Prediction& p) {
  FloorTable table;
  const plant::SupplyParameters& supply = m.plant.supply;
  const double between = 0.5 * (supply.process_L_per_min + supply.purge_L_per_min);
  table.flows_L_per_min = {0.25 * supply.process_L_per_min, 0.5 * supply.process_L_per_min,
                           supply.process_L_per_min, between, supply.purge_L_per_min};
  for (const double times : {0.5, 1.0, 2.0, 5.0, 10.0}) {
    table.ingress_L_per_min.push_back(times * m.plant.tightness.air_ingress_L_per_min);
  }
  for (const double flow : table.flows_L_per_min) {
    std::vector<double> row;
    for (const double ingress : table.ingress_L_per_min) {
      plant::Parameters leaky = m.plant;
      leaky.tightness.air_ingress_L_per_min = ingress;
      row.push_back(machine::oxygen_floor_ppm(leaky, flow));
    }
    table.ppm.push_back(std::move(row));
  }
  table.level_ppm = p.level_ppm;
  return table;
}

std::vector<Curve> curves(const machine::Machine& m, const Prediction& p, const Trials* t) {
  Curve oxygen{"oxygen", "oxygen in the chamber", "ppm", true, predicted_oxygen(m, p), {}};
  Curve temperature{"temperature", "gas in the chamber",     "degC",
                    false,         predicted_temperature(p), {}};
  if (t != nullptr) {
    oxygen.simulated = t->cycle->oxygen_ppm;
    temperature.simulated = t->cycle->gas_degC;
  }
  std::vector<Curve> all{std::move(oxygen), std::move(temperature)};
  for (Curve& each : all) {
    each.predicted = thinned(each.predicted, Curve::most_points, each.log_axis);
    each.simulated = thinned(each.simulated, Curve::most_points, each.log_axis);
  }
  return all;
}

}  // namespace

bool Sizing::holds() const { return cycle_problem.empty(); }

Sizing size(const machine::Machine& machine, const Options& options) {
  const Prediction prediction = predict(machine, options);
  std::optional<Trials> trials;
  if (options.simulate) trials = run_trials(machine, prediction, options.jobs);
  const Trials* simulated = trials ? &*trials : nullptr;

  const Basis basis{machine, options, prediction, simulated};
  FigureMaker maker(basis);
  add_purge_figures(basis, maker);
  add_gas_figures(basis, maker);
  add_heat_figures(basis, maker);
  add_cooling_figures(basis, maker);
  add_room_figures(basis, maker);

  Sizing sizing;
  sizing.figures = std::move(maker).take();
  sizing.floors = floors(machine, prediction);
  sizing.curves = curves(machine, prediction, simulated);
  sizing.cautions = cautions_of(machine, prediction);
  if (simulated != nullptr) sizing.cycle_problem = trials->cycle->problem;
  return sizing;
}

std::vector<std::string_view> all_figure_ids() {
  return {"gate_volumes",  "gate_time",          "purge_time",         "purge_end_oxygen",
          "floor_purge",   "floor_process",      "holding_flow",       "least_process_flow",
          "gas_cycle",     "gas_saved",          "gas_saved_least",    "cylinder_cycles",
          "supply_purge",  "supply_process",     "heat_up_time",       "heat_up_power",
          "heating_time",  "hold_power",         "energy_cycle",       "cool_jacket",
          "cool_still",    "cool_still_end",     "cool_cycle",         "cool_power",
          "jacket_power",  "jacket_air_mean",    "jacket_air_peak",    "make_up_flow",
          "door_time",     "casing_temperature", "exhaust_purge",      "exhaust_heating",
          "room_steady",   "room_warning",       "room_warning_still", "room_cycle",
          "room_displaced"};
}

}  // namespace ovenproof::sizing
