#pragma once
#include <cstddef>

#include "firmware/logic/logic.hpp"
#include "sim/prove/adversary.hpp"

namespace ovenproof::defects {

/// Where a scan can be between two of its steps.
struct Point {
  logic::LogicState state;
  logic::Progress progress;

  friend bool operator==(const Point&, const Point&) = default;
};

/// For sets and maps of points.
struct HashPoint {
  std::size_t operator()(const Point& point) const;
};

/// Where a scan begins from the state.
[[nodiscard]] Point begun(logic::Logic& logic, const logic::LogicState& state);

/// One step from a point, with what the adversary says. Timers that it runs are told in the
/// commands.
[[nodiscard]] Point stepped(logic::Logic& logic, const Point& from, prove::Adversary& adversary);

}  // namespace ovenproof::defects
