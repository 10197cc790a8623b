#include "sim/prove/interlocks.hpp"

#include <iterator>

#include "sim/prove/interlock_groups.hpp"

namespace ovenproof::prove {

std::vector<Interlock> interlocks(const logic::Options& options, const Delays& delays) {
  std::vector<Interlock> all;
  const auto append = [&all](std::vector<Interlock> group) {
    all.insert(all.end(), std::make_move_iterator(group.begin()),
               std::make_move_iterator(group.end()));
  };
  append(interlocks_of_heat(options));
  append(interlocks_of_gas(options));
  append(interlocks_of_jacket(options));
  append(interlocks_of_start(options, delays));
  append(interlocks_of_trips(options, delays));
  append(interlocks_of_cycle_end());
  append(interlocks_of_timers(options));
  // What all the others rest on.
  append({{"REQ-SAY-01", "", "what the logic commands and reports is what it remembers",
           "always (answer.as_remembered)"},
          {"REQ-SAY-02", "", "the logic looks at no timer that it does not run",
           "always (answer.timers_run)"},
          {"REQ-SAY-03", "", "the scan that the controller calls does what was explored in steps",
           "always (answer.as_explored)"}});
  return all;
}

}  // namespace ovenproof::prove
