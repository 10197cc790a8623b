#include "sim/prove/interlock_groups.hpp"
#include "sim/prove/interlock_words.hpp"

namespace ovenproof::prove {

std::vector<Interlock> interlocks_of_jacket(const logic::Options& options) {
  using namespace words;
  const bool jacket = options.jacket_cooling;
  return {
      {"REQ-COOL-01", "R-BLOWER", "blowers only on a damper that is proven open",
       always("command.blower implies (command.damper and fact.damper_open)"), jacket},
      {"REQ-COOL-02", "R-DAMPER", "the damper opens only when the cycle cools",
       always("command.damper implies phase in {cooling, flushing}"), jacket},
      {"REQ-COOL-03", "R-DAMPER", "never a command for heat together with damper or blowers",
       never(heat + " and (command.damper or command.blower)"), jacket},
      {"REQ-COOL-04", "R-DAMPER",
       "a machine without jacket cooling drives neither damper nor blowers",
       never("command.damper or command.blower"), !jacket},
      {"REQ-COOL-05", "R-DAMPER",
       "the damper counts as open, or as closed, when its end switch says so, and only then",
       always("(rises(jacket_state = open) implies fact.damper_open) and"
              " (rises(jacket_state = closed) implies fact.damper_closed) and (" +
              still("(jacket_state = opening)") + " implies not fact.damper_open) and (" +
              still("(jacket_state = closing)") + " implies not fact.damper_closed)"),
       jacket},
      {"REQ-COOL-06", "R-DAMPER", "the damper opens when the cycle cools",
       always("phase in {cooling, flushing} implies jacket_state in {opening, open}"), jacket},
  };
}

}  // namespace ovenproof::prove
