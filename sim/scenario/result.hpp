#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "sim/cycle/timeline.hpp"
#include "sim/hazards/hazard_watch.hpp"
#include "sim/properties/monitor.hpp"
#include "sim/scenario/coverage.hpp"

namespace ovenproof::scenario {

/// How one expectation came out.
struct ExpectationVerdict {
  std::string name;
  std::string property;
  properties::Verdict verdict;
  bool met = false;
  std::string happened;                  ///< in words
  std::optional<std::uint64_t> when_ms;  ///< if not met: since power was switched on
};

/// A default hazard, and the reason if it was waived.
struct JudgedHazard {
  hazards::HazardVerdict verdict;
  std::string waived;
  [[nodiscard]] bool fine() const { return verdict.avoided || !waived.empty(); }
};

/// What came out of one case. Nothing in it depends on when, where or how fast it ran.
struct CaseResult {
  std::uint64_t began_ms = 0;  ///< since power was switched on
  std::uint64_t ended_ms = 0;
  std::vector<std::string> problems;  ///< why it could not be played as written
  std::vector<ExpectationVerdict> expectations;
  std::vector<JudgedHazard> hazards;
  std::optional<std::uint64_t> failed_ms;  ///< when it first went wrong
  std::vector<cycle::Event> events;        ///< if it failed: the last twelve up to then
  Coverage coverage;

  [[nodiscard]] bool passed() const;
};

}  // namespace ovenproof::scenario
