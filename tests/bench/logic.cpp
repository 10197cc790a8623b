#include "firmware/logic/logic.hpp"

#include <bitset>

#include <benchmark/benchmark.h>

namespace ovenproof::logic {
namespace {

using World = std::bitset<fact_count>;

bool read(const void* world, Fact fact) {
  return (*static_cast<const World*>(world))[static_cast<std::size_t>(fact)];
}

World healthy_and_shut() {
  World world;
  for (const Fact fact :
       {Fact::door_closed, Fact::estop_healthy, Fact::limiter_healthy, Fact::gas_supply_ok,
        Fact::k1_open, Fact::k2_open, Fact::damper_closed, Fact::temperature_valid,
        Fact::oxygen_valid, Fact::oxygen_has_read_air, Fact::settings_valid, Fact::elements_cool,
        Fact::gas_settled, Fact::cool_to_unload}) {
    world.set(static_cast<std::size_t>(fact));
  }
  return world;
}

/// One scan of the logic alone. The prover and every simulated scan pay this.
void logic_scan(benchmark::State& state, bool purging) {
  World world = healthy_and_shut();
  Logic logic{Options{}};
  const auto scan_with = [&](Fact fact, bool value) {
    world.set(static_cast<std::size_t>(fact), value);
    return logic.scan(Facts(&world, read)).phase;
  };
  scan_with(Fact::reset_pressed, false);
  scan_with(Fact::reset_pressed, true);
  Phase phase = scan_with(Fact::reset_pressed, false);
  if (purging) {
    scan_with(Fact::start_pressed, true);
    phase = scan_with(Fact::start_pressed, false);
  }
  if (phase != (purging ? Phase::purging : Phase::standby)) {
    state.SkipWithError("the logic did not reach the phase to be measured");
    return;
  }
  for (auto _ : state) benchmark::DoNotOptimize(logic.scan(Facts(&world, read)));
}
BENCHMARK_CAPTURE(logic_scan, standby, false);
BENCHMARK_CAPTURE(logic_scan, purging, true);

}  // namespace
}  // namespace ovenproof::logic
