#pragma once
#include <cstddef>
#include <string_view>

#include "hal-mock/terminals.hpp"
#include "sim/plant/signals.hpp"
#include "sim/rig/hands.hpp"
#include "sim/scenario/case.hpp"

namespace ovenproof::campaign {

/// How far beyond its limit a hazard's condition is now.
struct Excess {
  bool present = false;
  double beyond = 0.0;    ///< above 0 while present, in `unit`
  std::string_view unit;  ///< static
};

/// The oven in one scan, as a measure looks at it.
struct Look {
  const plant::Truth& t;
  const mock::FieldOutputs& outputs;  ///< at the field's terminals
  const rig::Hands& hands;
  const plant::Parameters& p;
};

/// For the hazard of that index in `hazards::default_hazards()`. The verdict is the property's;
/// this tells how long and how far once it has fallen. A hazard that is an event, not a condition,
/// is present as long as anything is energised.
Excess excess(std::size_t hazard, const Look& look);

}  // namespace ovenproof::campaign
