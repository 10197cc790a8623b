#pragma once
#include <cstdint>
#include <string>

#include "firmware/logic/options.hpp"
#include "sim/prove/benign_oven.hpp"
#include "sim/prove/interlocks.hpp"

namespace ovenproof::prove {

/// An interlock as a run on the whole oven can judge it.
///
/// - The machine's options stand in it as truths: a run does not know them.
/// - Delays are those of causes that can be seen, not of timers that the logic asks for: see
/// Delays.
/// - What is said of the first scan is said of it, too: scan 0 of a run is the oven before that.
struct RunFormula {
  std::string text;
  std::uint32_t takes_ms = 0;  ///< the longest that anything in it must last
};
/// Of what is no interlock of the machine the text is taken as it is, but for its options.
[[nodiscard]] RunFormula formula_of_run(const Interlock& interlock, const logic::Options& options,
                                        const Durations& durations);

/// The same of a run in which power dips: judged from the second scan after power-up on. Before it
/// the run shows what was before the dip, and in the first scan what has changed since.
[[nodiscard]] std::string from_power_up(const std::string& text);

}  // namespace ovenproof::prove
