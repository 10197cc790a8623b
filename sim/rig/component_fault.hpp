#pragma once
#include <cstdint>

#include "hal-mock/signal_fault.hpp"
#include "sim/plant/faults.hpp"

namespace ovenproof::rig {

/// A fault of one component of the oven over time: from `onset_ms` its severity grows to `severity`
/// within `ramp_ms`, and at `end_ms` the component is whole again.
struct ComponentFault {
  plant::Fault fault{};
  double severity = 1.0;  ///< 0..1
  mock::VirtualMs onset_ms = 0;
  mock::VirtualMs ramp_ms = 0;
  mock::VirtualMs end_ms = mock::no_end;
  friend constexpr bool operator==(const ComponentFault&, const ComponentFault&) = default;

  /// Severity at `now_ms`, 0 outside [onset, end).
  [[nodiscard]] constexpr double at(mock::VirtualMs now_ms) const {
    if (now_ms < onset_ms || now_ms >= end_ms) return 0.0;
    const mock::VirtualMs age = now_ms - onset_ms;
    if (age >= ramp_ms) return severity;
    return severity * static_cast<double>(age) / static_cast<double>(ramp_ms);
  }
};

}  // namespace ovenproof::rig
