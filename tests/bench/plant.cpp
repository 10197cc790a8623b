#include "sim/plant/plant.hpp"

#include <benchmark/benchmark.h>

namespace ovenproof::plant {
namespace {

/// One 10 ms step of an oven that heats, or of one that cools by its jacket; with truth judged.
void plant_step(benchmark::State& state, bool heating) {
  InitialCondition initial;
  initial.chamber_degC = 300.0;
  initial.oxygen = 1e-5;
  Plant oven(Parameters{}, Surroundings{}, initial);
  Actuation actuation;
  actuation.fan = true;
  actuation.process_valve = true;
  actuation.k1 = actuation.k2 = heating;
  actuation.heater_drive = heating ? 0.05 : 0.0;
  actuation.damper_open = actuation.blower = !heating;
  const Operator hands;
  const Surroundings surroundings;
  for (auto _ : state) {
    oven.step(actuation, hands, surroundings);
    benchmark::DoNotOptimize(oven.field());
  }
}
BENCHMARK_CAPTURE(plant_step, heating, true);
BENCHMARK_CAPTURE(plant_step, cooling, false);

/// What it costs to say what is physically so, which hazards are judged by.
void plant_truth(benchmark::State& state) {
  const Plant oven{Parameters{}};
  for (auto _ : state) benchmark::DoNotOptimize(oven.truth());
}
BENCHMARK(plant_truth);

}  // namespace
}  // namespace ovenproof::plant
