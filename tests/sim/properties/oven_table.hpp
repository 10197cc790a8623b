#pragma once

#include <chrono>
#include <string>
#include <vector>

#include "sim/properties/monitor.hpp"

namespace ovenproof::properties::test {

inline constexpr std::chrono::milliseconds scan_period{10};

/// A small made-up oven. Columns: 0 door.open, 1 heater.on, 2 fan.on, 3 phase, 4 chamber.oxygen,
/// 5 temperature.a, 6 temperature.b, 7 heater.power, 8 timer.purge, 9 chamber.pressure.
inline SignalTable oven_table() {
  SignalTable table;
  table.add_boolean("door.open");
  table.add_boolean("heater.on");
  table.add_boolean("fan.on");
  table.add_state("phase", {"standby", "purging", "ramp", "soak", "cooling"});
  table.add_number("chamber.oxygen", "ppm");
  table.add_number("temperature.a", "degC");
  table.add_number("temperature.b", "degC");
  table.add_number("heater.power", "W");
  table.add_number("timer.purge", "s");
  table.add_number("chamber.pressure", "Pa");
  table.add_constant("limit.chamber", 1000.0, "degC");
  table.add_constant("limit.step", 5.0, "K");
  table.add_constant("reaction", 200.0, "ms");
  return table;
}

/// A row with everything off and cold.
inline std::vector<double> idle_row() { return {0, 0, 0, 0, 209500, 20, 20, 0, 0, 0}; }

}  // namespace ovenproof::properties::test
