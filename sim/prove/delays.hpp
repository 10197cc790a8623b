#pragma once
#include <optional>
#include <string>

#include "firmware/logic/timers.hpp"
#include "sim/prove/benign_oven.hpp"

namespace ovenproof::prove {

/// How a formula says that a cause has been there for its delay.
///
/// To the prover: the cause is there, and the logic is told that its timer has elapsed. The logic
/// has to run that timer and to look at it, so on an oven a defect that never does would never be
/// late. There it is said by how long the cause has lasted: beyond the delay, by more scans than
/// the logic takes to see it.
class Delays {
 public:
  /// As the prover says it.
  Delays() = default;
  /// As it is said of a run with these durations.
  explicit Delays(const Durations& durations) : durations_(durations) {}

  /// A condition in the property language.
  [[nodiscard]] std::string over(const std::string& cause, logic::Timer timer) const;

 private:
  std::optional<Durations> durations_;
};

}  // namespace ovenproof::prove
