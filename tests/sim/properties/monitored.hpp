#pragma once

#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include <doctest/doctest.h>

#include "oven_table.hpp"
#include "sim/properties/monitor.hpp"

namespace ovenproof::properties::test {

/// The property of a text that must compile.
inline Property property_of(const std::string& text, const SignalTable& table = oven_table()) {
  Compiled compiled = compile(text, table, scan_period);
  if (!compiled.property) throw std::logic_error(text + "\n" + compiled.errors.front().message());
  return *std::move(compiled.property);
}

/// A one-column table with a boolean p, and its rows from text: "0110".
inline SignalTable boolean_table() {
  SignalTable table;
  table.add_boolean("p");
  table.add_boolean("q");
  return table;
}

/// Verdict on two booleans, one character a scan: 1 is true.
inline Verdict judge(const std::string& text, const std::string& p, const std::string& q = {}) {
  Monitor monitor(property_of(text, boolean_table()));
  for (std::size_t i = 0; i < p.size(); ++i) {
    const std::vector<double> row{p[i] == '1' ? 1.0 : 0.0, i < q.size() && q[i] == '1' ? 1.0 : 0.0};
    monitor.step(row);
  }
  return monitor.finish();
}

/// Verdict on one number x in ppm, a value a scan.
inline Verdict judge_numbers(const std::string& text, const std::vector<double>& x) {
  SignalTable table;
  table.add_number("x", "ppm");
  Monitor monitor(property_of(text, table));
  for (const double value : x) monitor.step(std::vector<double>{value});
  return monitor.finish();
}

}  // namespace ovenproof::properties::test
