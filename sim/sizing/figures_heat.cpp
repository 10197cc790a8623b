#include <algorithm>

#include <fmt/format.h>

#include "sim/formulas/gas.hpp"
#include "sim/formulas/heat.hpp"
#include "sim/machine/estimate.hpp"
#include "sim/plant/constants.hpp"
#include "sim/plant/jacket.hpp"
#include "sim/sizing/figures.hpp"

namespace ovenproof::sizing {

namespace {

using machine::ambient_degC;

std::optional<double> minutes(std::optional<double> s) {
  return s ? std::optional(*s / 60.0) : std::nullopt;
}

Assumption load_follows(const Basis& b, std::optional<double> within_s) {
  const double lag_s = load_time_constant_s(b.machine.plant, 0.5 * b.prediction.last_degC);
  return {"the load follows the gas: its time constant is a quarter of the way's time at most",
          !within_s || lag_s <= 0.25 * *within_s,
          fmt::format("{:.0f} s against {:.0f} s", lag_s, within_s.value_or(0.0))};
}

/// The insulation is taken to have its steady profile at any time.
Assumption insulation_follows(const Basis& b, std::optional<double> within_s) {
  const plant::InsulationParameters& i = b.machine.plant.insulation;
  const double lag_s = i.inner_J_per_K / (i.wall_inner_W_per_K + i.inner_outer_W_per_K) +
                       i.outer_J_per_K / (i.inner_outer_W_per_K + i.outer_casing_W_per_K);
  return {"the insulation follows the wall: its time constants are half the way's time at most",
          !within_s || lag_s <= 0.5 * *within_s,
          fmt::format("{:.0f} s against {:.0f} s", lag_s, within_s.value_or(0.0))};
}

Assumption heater_strong(const Basis& b) {
  const bool all = std::all_of(b.prediction.heating.begin(), b.prediction.heating.end(),
                               [](const Course& each) { return each.as_asked; });
  return {"the heater has the power for the programme's ramps",
          all && !b.prediction.heating.empty(), ""};
}

Assumption damper_tight(const Basis& b) {
  const plant::Parameters& p = b.machine.plant;
  const double kept = machine::loss_W_per_K(p) + machine::process_gas_W_per_K(p);
  const double leaks = plant::jacket_flow(p.cooling, 0.0, 0.0, plant::to_K(b.prediction.last_degC),
                                          plant::to_K(ambient_degC))
                           .W_per_K;
  return {"the closed damper lets no draught through: a tenth of the losses at most",
          leaks <= 0.1 * kept, fmt::format("{:.3g} W/K against {:.3g} W/K", leaks, kept)};
}

constexpr std::string_view cool_run = "cooling by hand from the last target, no controller";

}  // namespace

void add_heat_figures(const Basis& b, FigureMaker& maker) {
  const Prediction& p = b.prediction;
  const Trials* t = b.trials;
  const std::optional<double> ramp_s =
      p.first_ramp ? std::optional(p.first_ramp->seconds) : std::nullopt;
  const std::optional<double> heating_s =
      p.heating.empty() ? std::nullopt : std::optional(p.heating_s);
  const char* const weak = "the losses take all of the heater's power below a target";
  {
    Figure& f = maker.add("heat", "heat_up_time", "heat-up to the first soak", "min",
                          formulas::two_lump_heating, minutes(ramp_s), {0.05, 1.0});
    f.assumptions = {heater_strong(b), insulation_follows(b, ramp_s)};
    if (!f.predicted) f.no_prediction = weak;
    if (t) maker.measured_in_cycle(f, t->cycle->heat_up_s, 1.0 / 60.0);
  }
  {
    Figure& f = maker.add(
        "heat", "heat_up_power", "mean heater power meanwhile", "kW", formulas::energy_balance,
        p.first_ramp ? std::optional(p.first_ramp->heater_J / p.first_ramp->seconds / 1e3)
                     : std::nullopt,
        {0.1, 0.05});
    f.assumptions = {heater_strong(b), insulation_follows(b, ramp_s)};
    if (!f.predicted) f.no_prediction = weak;
    if (t) maker.measured_in_cycle(f, t->cycle->heat_up_W, 1e-3);
  }
  {
    Figure& f = maker.add("heat", "heating_time", "all ramps and soaks", "min",
                          formulas::two_lump_heating, minutes(heating_s), {0.05, 1.0});
    f.assumptions = {heater_strong(b)};
    if (!f.predicted) f.no_prediction = weak;
    if (t) maker.measured_in_cycle(f, t->cycle->heating_s, 1.0 / 60.0);
  }
  {
    Figure& f = maker.add("heat", "hold_power",
                          fmt::format("heater power that holds {:.4g} degC", p.last_degC), "kW",
                          formulas::series_loss, p.hold_W / 1e3, {0.15, 0.05});
    const auto& segments = b.machine.settings.programme;
    const double soak_s = segments.segments[segments.segment_count - 1].soak.value / 1000.0;
    f.assumptions = {damper_tight(b), insulation_follows(b, soak_s), load_follows(b, soak_s)};
    if (t) maker.measured_in_cycle(f, t->cycle->hold_W, 1e-3);
  }
  {
    Figure& f = maker.add(
        "heat", "energy_cycle", "electric energy of a cycle", "kWh", formulas::energy_balance,
        heating_s ? std::optional(p.heating_J / 3.6e6) : std::nullopt, {0.1, 0.0});
    f.assumptions = {heater_strong(b), damper_tight(b)};
    if (!f.predicted) f.no_prediction = weak;
    if (t) maker.measured_in_cycle(f, t->cycle->energy_kWh);
  }
}

void add_cooling_figures(const Basis& b, FigureMaker& maker) {
  const Prediction& p = b.prediction;
  const Trials* t = b.trials;
  const bool jacket = b.machine.plant.cooling.fitted;
  const auto& cooling = p.cooling();
  const CoolingTrial* trial = t && t->cooling(b.machine) ? &*t->cooling(b.machine) : nullptr;
  const std::optional<double> cooling_s = cooling ? std::optional(cooling->seconds) : std::nullopt;
  const auto taken = [&](auto member) {
    return trial != nullptr && trial->gas_s ? std::optional(trial->*member) : std::nullopt;
  };
  const std::string span = fmt::format("{:.4g} to {:.4g} degC", p.last_degC, p.unload_degC);
  const std::string stays =
      fmt::format("the fan's work holds the chamber at {:.3g} degC, above {:.4g} degC",
                  p.still_end_degC, p.unload_degC);

  if (jacket) {
    Figure& f = maker.add(
        "cooling", "cool_jacket", "with jacket air, " + span, "min", formulas::two_lump_cooling,
        p.cool_jacket ? minutes(p.cool_jacket->seconds) : std::nullopt, {0.1, 0.5});
    f.assumptions = {insulation_follows(b, cooling_s)};
    if (t) maker.measured(f, cool_run, t->cool_jacket->gas_s, 1.0 / 60.0);
  }
  {
    const auto still_s = p.cool_still ? std::optional(p.cool_still->seconds) : std::nullopt;
    Figure& f = maker.add("cooling", "cool_still",
                          (jacket ? "without jacket air, " : "by losses alone, ") + span, "h",
                          formulas::two_lump_cooling,
                          still_s ? std::optional(*still_s / 3600.0) : std::nullopt, {0.1, 0.0});
    f.assumptions = {insulation_follows(b, still_s), damper_tight(b)};
    if (!f.predicted) f.no_prediction = stays;
    if (t) {
      maker.measured(f, cool_run, t->cool_still->gas_s, 1.0 / 3600.0,
                     fmt::format("it got no colder than {:.3g} degC", t->cool_still->least_degC));
    }
  }
  if (!p.cool_still) {
    Figure& f = maker.add("cooling", "cool_still_end", "without jacket air it ends at", "degC",
                          formulas::fan_against_losses, p.still_end_degC, {0.0, 5.0});
    f.assumptions = {damper_tight(b)};
    if (t) maker.measured(f, cool_run, t->cool_still->least_degC);
  }
  {
    Figure& f = maker.add("cooling", "cool_cycle", "cool-down of the cycle", "min",
                          formulas::two_lump_cooling, minutes(cooling_s), {0.1, 1.0});
    f.assumptions = {insulation_follows(b, cooling_s),
                     {"the gas has settled by the time the chamber is cool",
                      b.machine.settings.cooling.settled_temperature.value >= p.unload_degC,
                      fmt::format("settled from {:.4g} degC",
                                  b.machine.settings.cooling.settled_temperature.value)}};
    if (!f.predicted) f.no_prediction = stays;
    if (t) maker.measured_in_cycle(f, t->cycle->cooling_s, 1.0 / 60.0);
  }
  {
    Figure& f = maker.add(
        "cooling", "cool_power", "mean heat that leaves the oven", "kW", formulas::energy_balance,
        cooling ? std::optional(cooling->gave_off_J / cooling->seconds / 1e3) : std::nullopt,
        {0.15, 0.0});
    f.assumptions = {insulation_follows(b, cooling_s)};
    if (!f.predicted) f.no_prediction = stays;
    if (t) maker.measured(f, cool_run, taken(&CoolingTrial::mean_W), 1e-3);
  }
  if (jacket) {
    const double air = p.jacket.air_W_per_K;
    {
      Figure& f = maker.add(
          "cooling", "jacket_power", "mean heat into the jacket air", "kW",
          formulas::jacket_effectiveness,
          cooling ? std::optional(cooling->jacket_J / cooling->seconds / 1e3) : std::nullopt,
          {0.1, 0.0});
      f.assumptions = {insulation_follows(b, cooling_s)};
      if (t) maker.measured(f, cool_run, taken(&CoolingTrial::jacket_mean_W), 1e-3);
    }
    {
      Figure& f = maker.add(
          "cooling", "jacket_air_mean", "jacket air leaves at, mean", "degC",
          formulas::jacket_effectiveness,
          cooling ? std::optional(ambient_degC + cooling->jacket_J / cooling->seconds / air)
                  : std::nullopt,
          {0.1, 2.0});
      f.assumptions = {insulation_follows(b, cooling_s)};
      if (t) maker.measured(f, cool_run, taken(&CoolingTrial::air_mean_degC));
    }
    {
      Figure& f = maker.add(
          "cooling", "jacket_air_peak", "jacket air leaves at, hottest at full flow", "degC",
          formulas::jacket_effectiveness,
          ambient_degC + p.jacket.effectiveness * (p.last_degC - ambient_degC), {0.1, 2.0});
      f.assumptions = {
          {"the wall is as hot as the soak when damper and blower are at full flow: "
           "it takes a twentieth of the way's time at most",
           !cooling_s || std::max(b.machine.plant.cooling.damper_open_s,
                                  b.machine.plant.cooling.blower_run_up_s) <= 0.05 * *cooling_s,
           ""}};
      if (t) maker.measured(f, cool_run, taken(&CoolingTrial::air_peak_degC));
    }
  }
  {
    Figure& f = maker.add("cooling", "make_up_flow", "flow that the shrinking gas takes up, most",
                          "L/min", formulas::contraction,
                          cooling ? std::optional(cooling->most_make_up_L_per_min) : std::nullopt,
                          {0.15, 0.05});
    f.assumptions = {load_follows(b, cooling_s)};
    if (!f.predicted) f.no_prediction = stays;
    if (t) maker.measured(f, cool_run, taken(&CoolingTrial::make_up_L_per_min));
  }
  {
    Figure& f = maker.add(
        "door", "door_time",
        fmt::format("end of heat until gas, wall and load are at {:.4g} degC", p.unload_degC),
        "min", formulas::lag_behind, minutes(p.door_s), {0.15, 1.0});
    f.assumptions = {load_follows(b, cooling_s)};
    if (!f.predicted) f.no_prediction = cooling ? "the load does not keep up" : stays;
    if (t) {
      maker.measured(f, cool_run, trial != nullptr ? trial->all_s : std::nullopt, 1.0 / 60.0);
    }
  }
  {
    Figure& f = maker.add("door", "casing_temperature", "casing at the hottest soak", "degC",
                          formulas::series_loss, p.casing_degC, {0.0, 5.0});
    f.assumptions = {
        insulation_follows(b, p.heating_s > 0 ? std::optional(p.heating_s) : std::nullopt)};
    if (t) maker.measured_in_cycle(f, t->cycle->casing_peak_degC);
  }
}

}  // namespace ovenproof::sizing
