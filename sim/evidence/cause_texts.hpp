#pragma once
#include "firmware/logic/causes.hpp"

namespace ovenproof::evidence {

/// What a row of the matrix means for people, in addition to what the row itself says. Common
/// practice, no source; a beginning for the plant's own alarm rationalisation.
struct CauseText {
  logic::Cause cause;
  const char* consequence;  ///< what it can lead to if nobody acts
  const char* response;  ///< what the operator does, without entering a place that may lack oxygen
};

/// Every cause has one.
const CauseText& text_of(logic::Cause cause);

}  // namespace ovenproof::evidence
