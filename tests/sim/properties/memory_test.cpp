#include <vector>

#include <doctest/doctest.h>

#include "allocation_count.hpp"
#include "monitored.hpp"

namespace ovenproof::properties {
namespace {

/// A value that changes in every scan and never repeats for long.
double restless(int scan) { return static_cast<double>((scan * 7919L) % 4099) - 2000.0; }

TEST_CASE("After the first windows have passed, a run of any length allocates nothing") {
  SignalTable table;
  table.add_boolean("p");
  table.add_number("x", "ppm");
  std::vector<Property> properties;
  for (const char* text :
       {"always x < 5000 ppm", "always once within 1 s x > 1900 ppm, margin in ppm",
        "always historically for 1 s x < 1900 ppm", "at_end p since [0.2 s, 1 s] x > 100 ppm",
        "always x > 0 ppm implies eventually within 1 s x > 500 ppm, margin in ppm",
        "always p implies (x < 2000 ppm until [0.1 s, 1 s] x > 1000 ppm)",
        "within 1 s after p: x > 1500 ppm", "never x > 0 ppm for at least 1 s",
        "always rises(p) implies x < 5000 ppm for at least 0.5 s, margin in ppm"}) {
    properties.push_back(test::property_of(text, table));
  }
  MonitorSet monitor(properties);
  std::vector<double> row(2);
  const auto run = [&](int from, int to) {
    for (int i = from; i < to; ++i) {
      row[0] = i % 37 < 11;
      row[1] = restless(i);
      monitor.step(row);
    }
  };
  // A window's queue grows to the most it has held: let it see a steady rise and fall first.
  for (int i = 0; i < 3000; ++i) {
    row[0] = i % 2;
    row[1] = i < 1500 ? i : 1500 - i;
    monitor.step(row);
  }
  run(3000, 8000);
  const long before = test::allocations();
  run(8000, 60000);
  CHECK(test::allocations() == before);
  Monitor other(properties[0]);
  CHECK(test::allocations() > before);  // the count counts
}

}  // namespace
}  // namespace ovenproof::properties
