#pragma once
#include "firmware/logic/causes.hpp"
#include "sim/machine/part.hpp"

namespace ovenproof::evidence {

/// How a row of the matrix is caused for its witnessed test on a cold oven, step by step, with the
/// energy that the test needs and no more. Common practice, no source; a beginning for the plant's
/// own procedure.
struct TripTest {
  logic::Cause cause;
  const char* isolate;  ///< first step: what is isolated, or why nothing is
  const char* act;      ///< how it is caused, and in which phase
  const char* restore;
  /// Without this part the cause cannot occur, and there is nothing to test.
  machine::Part part = machine::Part::every_oven;
};

/// Every cause has one.
const TripTest& trip_test_of(logic::Cause cause);

}  // namespace ovenproof::evidence
