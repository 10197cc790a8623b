#pragma once
#include <cstdint>
#include <string>

#include "firmware/logic/options.hpp"
#include "sim/prove/benign_oven.hpp"

namespace ovenproof::prove {

/// A formula about the logic as a run on the whole oven can judge it.
///
/// - The machine's options stand in it as truths: a run does not know them.
/// - What must not be while a delay is over ("not fact.k1_not_closed_elapsed") must not be once the
///   cause of its row has lasted for longer than that: a defect that never asks for the delay would
///   have it never over.
/// - What is said of the first scan is said of it, too: scan 0 of a run is the oven before that.
struct RunFormula {
  std::string text;
  std::uint32_t takes_ms = 0;  ///< the longest of those delays
};
[[nodiscard]] RunFormula formula_of_run(std::string text, const logic::Options& options,
                                        const Durations& durations);

}  // namespace ovenproof::prove
