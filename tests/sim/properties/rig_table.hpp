#pragma once

#include <string>

#include "oven_table.hpp"
#include "sim/properties/hazards.hpp"
#include "sim/rig/probes.hpp"

namespace ovenproof::properties::test {

/// What a rig offers, and the two signals about people.
inline SignalTable rig_table() {
  SignalTable table;
  for (const rig::Probe& probe : rig::probes()) {
    const std::string name(probe.name);
    switch (probe.kind) {
      case rig::ProbeKind::boolean:
        table.add_boolean(name);
        break;
      case rig::ProbeKind::number:
        table.add_number(name, probe.unit);
        break;
      case rig::ProbeKind::state:
        table.add_state(name, {probe.labels.begin(), probe.labels.end()});
        break;
    }
  }
  table.add_boolean("operator.starts");
  table.add_boolean("operator.ends");
  add_hazard_limits(table, HazardLimits{});
  return table;
}

}  // namespace ovenproof::properties::test
