#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>

#include "sim/prove/proof.hpp"

namespace ovenproof::prove {
namespace {

/// The logic of the three demo machines.
const std::array<logic::Options, 3> demo_machines{{
    {true, true, true, 1},    // bronze strip
    {false, true, false, 1},  // coil
    {true, false, false, 1},  // titanium brackets
}};

Histories all_interlocks(const logic::Options& options) {
  std::vector<Interlock> all = interlocks(options);
  std::erase_if(all, [](const Interlock& interlock) { return !interlock.applies; });
  return {check(all).properties, options};
}

/// Everything that the interlocks need of one machine.
void prove_exploration(benchmark::State& state) {
  const Subject subject{demo_machines.at(static_cast<std::size_t>(state.range(0)))};
  const Limits limits{.jobs = static_cast<unsigned>(state.range(1))};
  const Histories histories = all_interlocks(subject.options);
  double scans = 0;
  double steps = 0;
  for (auto _ : state) {
    const Exploration e = explore(subject, histories, limits);
    scans += static_cast<double>(e.scans);
    steps += static_cast<double>(e.steps);
    state.counters["states"] = static_cast<double>(e.states.size());
    state.counters["bytes_per_state"] =
        static_cast<double>(e.peak_bytes) / static_cast<double>(e.states.size());
  }
  state.counters["scans"] = benchmark::Counter(scans, benchmark::Counter::kIsRate);
  state.counters["steps"] = benchmark::Counter(steps, benchmark::Counter::kIsRate);
}
BENCHMARK(prove_exploration)
    ->ArgNames({"machine", "jobs"})
    ->ArgsProduct({{0, 1, 2}, {1, 2}})
    ->UseRealTime()
    ->MeasureProcessCPUTime()
    ->Unit(benchmark::kMillisecond);

/// Whole scans from packed states, as an explorer that does not share their steps would run them.
void prove_whole_scans(benchmark::State& state) {
  const logic::Options options = demo_machines[2];
  const Histories none({}, options);
  const Exploration e = explore({options}, none, {});
  logic::Logic logic(options);
  Adversary adversary;
  std::int64_t scans = 0;
  std::size_t at = 0;
  for (auto _ : state) {
    const std::uint64_t from = e.states.key(static_cast<StateStore::Index>(at)).logic;
    at = (at + 97) % e.states.size();
    adversary.begin();
    do {
      logic.resume(unpack(from));
      logic.scan(adversary.facts());
      benchmark::DoNotOptimize(pack(logic.state()));
      ++scans;
    } while (adversary.next());
  }
  state.SetItemsProcessed(scans);
}
BENCHMARK(prove_whole_scans);

/// The healthy oven from every state.
void prove_recovery(benchmark::State& state) {
  const logic::Options options = demo_machines[0];
  const Histories none({}, options);
  const Exploration e = explore({options}, none, {});
  Durations durations;
  durations.timers.fill(5000);
  for (auto _ : state) benchmark::DoNotOptimize(recover(options, durations, e.states).states);
}
BENCHMARK(prove_recovery)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace ovenproof::prove
