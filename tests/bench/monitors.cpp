#include <chrono>
#include <stdexcept>
#include <vector>

#include <benchmark/benchmark.h>

#include "sim/properties/monitor.hpp"

namespace ovenproof::properties {
namespace {

SignalTable bench_table() {
  SignalTable table;
  for (const char* name : {"door.open", "heater.permit", "fan.run", "fan.proven", "purge.valve",
                           "process.valve", "damper.open", "damper.closed", "blower", "started"}) {
    table.add_boolean(name);
  }
  table.add_state("phase", {"standby", "purging", "ramp", "soak", "cooling", "tripped"});
  for (const char* name : {"element", "gas", "wall", "load", "te_a", "te_b"}) {
    table.add_number(name, "degC");
  }
  table.add_number("oxygen", "ppm");
  table.add_number("room.oxygen", "%");
  table.add_number("pressure", "Pa");
  table.add_number("heater.power", "W");
  table.add_number("purge.flow", "L/min");
  table.add_number("process.flow", "L/min");
  table.add_number("airflow", "%");
  return table;
}

constexpr const char* typical[] = {
    "never heater.power > 10 W and door.open",
    "never heater.power > 10 W and airflow < 20 %",
    "always element < 1150 degC",
    "always gas < 1050 degC",
    "always load > 200 degC implies oxygen < 1000 ppm",
    "within 500 ms after door.open: purge.flow < 1 L/min and process.flow < 1 L/min",
    "always room.oxygen > 19.5 %",
    "never purge.flow > 1 L/min and process.flow > 1 L/min",
    "always pressure < 2500 Pa",
    "never blower and damper.closed for at least 2 s",
    "always phase in {ramp, soak} implies oxygen <= 50 ppm for at least 60 s, margin in ppm",
    "within 200 ms after door.open: heater.power < 10 W",
    "always heater.permit implies once started",
    "always abs(te_a - te_b) < 15 K",
    "within 5 s after fan.run: fan.proven",
    "always phase = soak implies gas >= 790 degC and gas <= 810 degC",
    "never purge.valve and process.valve",
    "always rises(heater.permit) implies historically for 3 s fan.proven",
    "always phase = tripped implies not heater.permit",
    "eventually phase = soak and gas > 800 degC for at least 10 min",
};

/// One 10 ms scan of twenty properties, every number changing in every scan and the booleans now
/// and then. The rig pays this beside the plant step.
void twenty_properties(benchmark::State& state) {
  const SignalTable table = bench_table();
  std::vector<Property> properties;
  for (const char* text : typical) {
    const Compiled compiled = compile(text, table, std::chrono::milliseconds(10));
    if (!compiled.property) throw std::logic_error(compiled.errors.front().message());
    properties.push_back(*compiled.property);
  }
  MonitorSet monitor(properties);
  std::vector<double> row(table.signals().size());
  std::uint64_t scan = 0;
  const auto stride = static_cast<std::uint64_t>(state.range(0));  // of the numbers' changes
  for (auto _ : state) {
    ++scan;
    const bool busy = scan % 20000 > 4000;
    row[1] = row[2] = row[3] = row[9] = busy;
    row[10] = busy ? (scan % 20000 > 12000 ? 3 : 2) : 0;
    if (scan % stride == 0) {
      const double t = static_cast<double>(scan % 20000) * 0.04;
      for (std::size_t i = 11; i < 17; ++i) row[i] = t + static_cast<double>(i);
      row[17] = 900.0 - t;
      row[18] = 20.9 - t * 1e-5;
      row[19] = 100.0 + t;
      row[20] = busy ? 1000.0 + t : 0.0;
      row[21] = t;
      row[22] = 0.001 * t;
      row[23] = 80.0 + t * 0.01;
    }
    benchmark::DoNotOptimize(monitor.step(row));
  }
}
BENCHMARK(twenty_properties)->Arg(1)->Arg(10);

}  // namespace
}  // namespace ovenproof::properties
