#pragma once
#include <string>
#include <vector>

#include "firmware/logic/options.hpp"
#include "sim/prove/delays.hpp"

/// What the logic must never be brought to do, whatever the facts are: docs/requirements.md with
/// the formulas that are proved.
namespace ovenproof::prove {

struct Interlock {
  std::string id;       ///< "REQ-HEAT-01"
  std::string covers;   ///< the requirement of which it is the formula, "R-DOOR-OPEN"; may be empty
  std::string title;    ///< one sentence
  std::string text;     ///< in the property language, over signal_table()
  bool applies = true;  ///< the machine has the part that it is about
};

/// All of them, those that the machine has no part for marked, with delays said in these words.
///
/// None repeats the cause-and-effect matrix: they speak of what is energised, of facts, of what
/// came before and in what order. The state of the sequence is spoken of only where the
/// requirement itself does.
[[nodiscard]] std::vector<Interlock> interlocks(const logic::Options& options,
                                                const Delays& delays = {});

}  // namespace ovenproof::prove
