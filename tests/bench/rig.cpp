#include "sim/rig/rig.hpp"

#include <array>
#include <optional>

#include <benchmark/benchmark.h>

#include "sim/cycle/attendant.hpp"
#include "sim/cycle/run.hpp"
#include "sim/machine/load.hpp"

namespace ovenproof::cycle {
namespace {

using logic::Phase;

/// Scans to measure before the oven is put back to where it was, so that it stays in its phase.
constexpr std::size_t stretch = 1000;

rig::Oven demo_oven() {
  const auto loaded = machine::load_file(OVENPROOF_DEMO_MACHINE);
  const auto& machine = std::get<machine::Machine>(loaded);
  return {machine.plant, machine.settings, {}, {}};
}

/// The demo oven a minute into a phase of its first cycle.
rig::Rig oven_in(Phase phase) {
  rig::Rig oven(demo_oven());
  Attendant attendant(Plan{});
  const std::uint64_t minute = 60'000 / oven.period_ms();
  for (std::uint64_t scans = 0; scans < minute && !attendant.done();) {
    attendant.act(oven);
    oven.step();
    scans = oven.controller().commands().phase == phase ? scans + 1 : 0;
  }
  return oven;
}

bool is_in(const rig::Rig& oven, Phase phase) {
  return oven.controller().commands().phase == phase;
}

/// The shipped firmware alone: one scan, on inputs recorded from the demo oven.
void firmware_scan(benchmark::State& state, Phase phase) {
  rig::Rig oven = oven_in(phase);
  const controller::Controller start = oven.controller();
  std::array<hal::InputImage, stretch> inputs;
  std::array<Milliseconds, stretch> times;
  for (std::size_t i = 0; i < stretch; ++i) {
    inputs[i] = oven.board().read_inputs();
    times[i] = oven.board().now();
    oven.step();
  }
  if (!is_in(oven, phase)) return state.SkipWithError("the oven left the phase to be measured");

  controller::Controller controller = start;
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(controller.scan(inputs[i], times[i]));
    if (++i == stretch) {
      i = 0;
      controller = start;
    }
  }
}
BENCHMARK_CAPTURE(firmware_scan, purging, Phase::purging);
BENCHMARK_CAPTURE(firmware_scan, soak, Phase::soak);

/// One scan of the whole rig: board, firmware, plant.
void rig_step(benchmark::State& state, Phase phase) {
  const rig::Rig start = oven_in(phase);
  rig::Rig oven = start;
  std::size_t i = 0;
  for (auto _ : state) {
    oven.step();
    if (++i == stretch) {
      i = 0;
      oven = start;
    }
  }
  if (!is_in(oven, phase)) return state.SkipWithError("the oven left the phase to be measured");
  state.counters["times real time"] =
      benchmark::Counter(1e-3 * start.period_ms(), benchmark::Counter::kIsIterationInvariantRate);
}
BENCHMARK_CAPTURE(rig_step, purging, Phase::purging);
BENCHMARK_CAPTURE(rig_step, soak, Phase::soak);
BENCHMARK_CAPTURE(rig_step, cooling, Phase::cooling);

/// Copying a rig, as exploring faults from a moment of a run does.
void rig_copy(benchmark::State& state) {
  const rig::Rig oven = oven_in(Phase::soak);
  for (auto _ : state) {
    rig::Rig copy = oven;
    benchmark::DoNotOptimize(copy);
  }
  state.counters["bytes"] = sizeof oven;
}
BENCHMARK(rig_copy);

/// One whole cycle of the demo oven as `ovenproof run` does it, hazards judged in every scan.
void whole_cycle(benchmark::State& state) {
  const rig::Oven oven = demo_oven();
  Plan plan;
  plan.cycles = 1;
  double simulated_s = 0.0;
  for (auto _ : state) {
    const RunResult result = run(oven, plan, {}, {});
    if (!result.all_holds()) return state.SkipWithError("the cycle did not come off");
    simulated_s += result.simulated_s;
  }
  state.counters["times real time"] = benchmark::Counter(simulated_s, benchmark::Counter::kIsRate);
}
BENCHMARK(whole_cycle)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace ovenproof::cycle
