#pragma once
#include "firmware/logic/causes.hpp"

namespace ovenproof::evidence {

/// What people need to know of a row of the matrix beside what the row itself says. Common
/// practice, no source; a beginning for the plant's own alarm rationalisation and test plan.
struct CauseText {
  logic::Cause cause;
  const char* consequence;  ///< what it can lead to if nobody acts
  const char* response;     ///< what the operator does
  const char* provoke;      ///< how it is brought about when commissioning, without a hazard
};

/// Every cause has one.
const CauseText& text_of(logic::Cause cause);

}  // namespace ovenproof::evidence
