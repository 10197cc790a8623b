#pragma once
#include "sim/machine/io_list.hpp"

namespace ovenproof::evidence {

/// How one terminal is checked from its device to the controller, step by step. Signals are given
/// at the terminals, with the energy that the check needs and no more. Common practice, no source;
/// a beginning for the plant's own procedure.
struct LoopCheck {
  const char* isolate;  ///< first step: what is isolated, or why nothing is
  const char* act;
  const char* expect;
  const char* restore;
};

/// Every point has one.
const LoopCheck& loop_check_of(const machine::Point& point);

}  // namespace ovenproof::evidence
