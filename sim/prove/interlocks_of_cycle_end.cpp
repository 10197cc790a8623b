#include "sim/prove/interlock_groups.hpp"
#include "sim/prove/interlock_words.hpp"

namespace ovenproof::prove {

std::vector<Interlock> interlocks_of_cycle_end() {
  using namespace words;
  return {
      {"REQ-FAN-01", "R-FAN-RUN-ON",
       "a fan that is on goes off only with cool elements or by a fault",
       always("falls(command.fan) implies (fact.elements_cool or " + general_fault +
              " or (not fact.fan_running and fact.fan_not_proven_elapsed))")},
      {"REQ-FAN-02", "R-FAN-PROOF", "the fan is on in every phase with heat, purge or cooling",
       always("phase in {purging, ramp, soak, repurging, cooling, flushing} implies command.fan")},
      {"REQ-END-01", "R-UNLOAD", "unloading is permitted only when cool and its gas settled",
       always("rises(phase = unloading) implies (fact.cool_to_unload and fact.gas_settled)")},
      {"REQ-END-02", "R-UNLOAD", "unloading follows only on a cycle that was heated or cooled",
       always("rises(phase = unloading) implies"
              " falls(phase in {ramp, soak, repurging, cooling, flushing})")},
      {"REQ-END-03", "R-UNLOAD", "a cycle that cools ends as soon as it may be unloaded",
       never(still("(phase in {cooling, flushing})") +
             " and fact.cool_to_unload and fact.gas_settled")},
  };
}

}  // namespace ovenproof::prove
