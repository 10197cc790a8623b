#include <algorithm>

#include <fmt/format.h>

#include "sim/formulas/gas.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/sizing/figures.hpp"

namespace ovenproof::sizing {

namespace {

constexpr std::string_view purge_run = "purging a cold oven full of air, no controller";
constexpr std::string_view steady_run = "steady flow until nothing changes, no controller";

Assumption stirred(const Basis& b) {
  const double pockets_s = b.machine.plant.mixing.pocket_time_fan_s;
  const double change_s = machine::volume_change_s(b.machine.plant);
  const bool none = b.machine.plant.mixing.pocket_fraction <= 0.0;
  return {"the chamber is stirred: pockets even out in a fifth of a volume change",
          none || pockets_s <= 0.2 * change_s,
          fmt::format("{:.0f} s against {:.0f} s", pockets_s, change_s)};
}

Assumption supply_steady() {
  return {"supply pressure and regulated flow are steady, gas is at room temperature", true, ""};
}

Assumption ingress_as_stated(const Basis& b) {
  return {fmt::format("air finds its way in at {:.3g} mL/min whatever the pressure",
                      1000.0 * b.machine.plant.tightness.air_ingress_L_per_min),
          true, ""};
}

std::string level_name(const Basis& b) {
  return fmt::format("{} ({:.4g} ppm)", b.prediction.monitored ? "the gate" : "the load's limit",
                     b.prediction.level_ppm);
}

}  // namespace

void add_purge_figures(const Basis& b, FigureMaker& maker) {
  const Prediction& p = b.prediction;
  const Trials* t = b.trials;
  const double change_L =
      machine::volume_change_s(b.machine.plant) * b.machine.plant.supply.purge_L_per_min / 60.0;
  const std::string never =
      fmt::format("the floor, {:.3g} ppm, is not below {}", p.floor_purge_ppm, level_name(b));

  {
    Figure& f = maker.add("purge", "gate_volumes", "volume changes to " + level_name(b), "",
                          formulas::stirred_purge, p.gate_volumes, {0.05, 0.0});
    f.assumptions = {stirred(b), supply_steady(), ingress_as_stated(b)};
    if (!f.predicted) f.no_prediction = never;
    if (t) {
      maker.measured(f, purge_run,
                     t->purge->seconds ? std::optional(t->purge->gas_L / change_L) : std::nullopt);
    }
  }
  {
    Figure& f =
        maker.add("purge", "gate_time", "time to it at purge flow", "min", formulas::stirred_purge,
                  p.gate_s ? std::optional(*p.gate_s / 60.0) : std::nullopt, {0.05, 0.05});
    f.assumptions = {stirred(b), supply_steady(), ingress_as_stated(b)};
    if (!f.predicted) f.no_prediction = never;
    if (t) maker.measured(f, purge_run, t->purge->seconds, 1.0 / 60.0);
  }
  {
    Figure& f =
        maker.add("purge", "purge_time",
                  p.monitored ? "purge until the gate has held" : "purge by volumes of proven flow",
                  "min", p.monitored ? formulas::stirred_purge : formulas::flow_times_time,
                  p.purge_s ? std::optional(*p.purge_s / 60.0) : std::nullopt, {0.05, 0.25});
    f.assumptions = {
        stirred(b), supply_steady(), {"fan and flow are proven within seconds", true, ""}};
    if (p.monitored) {
      f.assumptions.push_back(
          {"the oxygen cell is warm before the gate is met",
           !p.gate_s || machine::oxygen_warm_up_s(b.machine.plant) <= *p.gate_s ||
               !b.machine.settings.options.start_by_door,
           fmt::format("{:.3g} s of warming up", machine::oxygen_warm_up_s(b.machine.plant))});
    }
    if (!f.predicted) f.no_prediction = never;
    if (t) maker.measured_in_cycle(f, t->cycle->purge_s, 1.0 / 60.0);
  }
  {
    Figure& f = maker.add("purge", "purge_end_oxygen", "oxygen when heat begins", "ppm",
                          formulas::stirred_purge, p.purge_end_ppm, {0.15, 0.5});
    f.assumptions = {stirred(b), supply_steady(), ingress_as_stated(b)};
    if (!f.predicted) f.no_prediction = never;
    if (t) maker.measured_in_cycle(f, t->cycle->gate_ppm);
  }
  {
    Figure& f = maker.add("purge", "floor_purge", "lowest oxygen at purge flow", "ppm",
                          formulas::two_streams, p.floor_purge_ppm, {0.03, 0.2});
    f.assumptions = {ingress_as_stated(b), supply_steady()};
    if (t) maker.measured(f, steady_run, t->floor_purge_ppm);
  }
  {
    Figure& f = maker.add("purge", "floor_process", "lowest oxygen at process flow", "ppm",
                          formulas::two_streams, p.floor_process_ppm, {0.03, 0.2});
    f.assumptions = {ingress_as_stated(b), supply_steady()};
    if (t) maker.measured(f, steady_run, t->floor_process_ppm);
  }
}

void add_gas_figures(const Basis& b, FigureMaker& maker) {
  const Prediction& p = b.prediction;
  const Trials* t = b.trials;
  const plant::SupplyParameters& supply = b.machine.plant.supply;
  const double sweep = machine::sweep_L_per_min(b.machine.plant);
  const double purge_flow = supply.purge_L_per_min + sweep;
  const Cylinder& c = b.options.cylinder;
  const Assumption as_scheduled{"purge flow until the gate, process flow from then on",
                                !t || t->cycle->repurges == 0,
                                t ? fmt::format("{} re-purges", t->cycle->repurges) : ""};

  std::optional<double> held;
  {
    Figure& f = maker.add("gas", "holding_flow",
                          fmt::format("process flow that just holds {:.4g} ppm (level / {:.3g})",
                                      p.held_ppm, b.options.margin),
                          "L/min", formulas::holding_flow, p.holding_L_per_min, {0.03, 0.0});
    f.assumptions = {ingress_as_stated(b), supply_steady()};
    if (!f.predicted) {
      f.no_prediction =
          sweep > 0.0 ? fmt::format("the blanket's sweep of {:.3g} L/min alone holds it", sweep)
                      : fmt::format("the supply itself holds {:.3g} ppm", supply.oxygen_ppm);
    }
    if (t) {
      maker.measured(f, "steady flows tried until one settles there, no controller",
                     t->holding_L_per_min, 1.0, "no flow was found that settles there");
      held = f.simulated;
    }
  }
  std::optional<double> least;
  {
    const auto& cooling = p.cooling();
    const bool by_shrinking =
        p.holding_L_per_min && cooling && cooling->most_make_up_L_per_min > *p.holding_L_per_min;
    Figure& f = maker.add(
        "gas", "least_process_flow",
        fmt::format("least process flow: {}", by_shrinking ? "makes up for the shrinking gas"
                                                           : "holds that, shrinking gas made up"),
        "L/min", by_shrinking ? formulas::contraction : formulas::holding_flow,
        p.least_process_L_per_min, {0.2, 0.05});
    f.assumptions = {ingress_as_stated(b), supply_steady()};
    if (t && t->cooling(b.machine)) {
      if (held) least = std::max(*held, t->cooling(b.machine)->make_up_L_per_min);
      maker.measured(f, "the greater of the two, each measured", least);
    }
  }
  {
    Figure& f = maker.add("gas", "gas_cycle", "gas of a cycle", "m3", formulas::flow_times_time,
                          p.gas_L ? std::optional(*p.gas_L / 1000.0) : std::nullopt, {0.08, 0.0});
    f.assumptions = {as_scheduled, supply_steady()};
    if (t) maker.measured_in_cycle(f, t->cycle->gas_L, 1e-3);
  }
  {
    Figure& f = maker.add(
        "gas", "gas_saved", "saved against purging throughout", "%", formulas::flow_times_time,
        p.saved_share ? std::optional(*p.saved_share * 100.0) : std::nullopt, {0.0, 3.0});
    f.assumptions = {as_scheduled};
    std::optional<double> saved;
    if (t && t->cycle->gas_L && t->cycle->cycle_s) {
      saved = 100.0 * (1.0 - *t->cycle->gas_L / (purge_flow * *t->cycle->cycle_s / 60.0));
    }
    if (t) maker.measured_in_cycle(f, saved);
  }
  {
    Figure& f =
        maker.add("gas", "gas_saved_least", "the same with the least process flow", "%",
                  formulas::flow_times_time,
                  p.saved_share_least ? std::optional(*p.saved_share_least * 100.0) : std::nullopt,
                  {0.0, 3.0});
    f.assumptions = {as_scheduled};
    std::optional<double> saved;
    if (t && least && t->cycle->cycle_s && t->cycle->purge_s) {
      const double purge_L = purge_flow * *t->cycle->purge_s / 60.0;
      const double rest_L = (*least + sweep) * (*t->cycle->cycle_s - *t->cycle->purge_s) / 60.0;
      saved = 100.0 * (1.0 - (purge_L + rest_L) / (purge_flow * *t->cycle->cycle_s / 60.0));
    }
    if (t) maker.measured_in_cycle(f, saved);
  }
  const std::string set =
      fmt::format("{} x {:.4g} L, {:.4g} bar", c.count, c.volume_L, c.pressure_bar);
  const std::vector<Assumption> cylinder{
      {"gas is ideal", c.pressure_bar <= 300.0, fmt::format("{:.4g} bar", c.pressure_bar)},
      {fmt::format("they are left when {:.3g} bar remain, the oven's supply pressure",
                   supply.pressure_kPa / 100.0),
       true, ""}};
  const bool any = p.cylinders_L > 0.0;
  {
    Figure& f = maker.add("gas", "cylinder_cycles", "cycles from full cylinders: " + set, "",
                          formulas::cylinder_content,
                          p.gas_L && any ? std::optional(p.cylinders_L / *p.gas_L) : std::nullopt,
                          {0.08, 0.0});
    f.assumptions = cylinder;
    f.assumptions.push_back(as_scheduled);
    if (t) {
      maker.measured_in_cycle(
          f, t->cycle->gas_L ? std::optional(p.cylinders_L / *t->cycle->gas_L) : std::nullopt);
    }
  }
  {
    Figure& f =
        maker.add("gas", "supply_purge", "they last at purge flow", "h", formulas::cylinder_content,
                  p.cylinders_L / purge_flow / 60.0, {0.03, 0.0});
    f.assumptions = cylinder;
    if (t && t->purge->mean_L_per_min > 0.0) {
      maker.measured(f, purge_run, p.cylinders_L / t->purge->mean_L_per_min / 60.0);
    }
  }
  {
    Figure& f = maker.add("gas", "supply_process", "they last at process flow", "h",
                          formulas::cylinder_content,
                          p.cylinders_L / (supply.process_L_per_min + sweep) / 60.0, {0.03, 0.0});
    f.assumptions = cylinder;
    if (t && t->cooling(b.machine) && t->cooling(b.machine)->gas_L_per_min > 0.0) {
      maker.measured(f, "cooling under process gas, no controller",
                     p.cylinders_L / t->cooling(b.machine)->gas_L_per_min / 60.0);
    }
  }
}

}  // namespace ovenproof::sizing
