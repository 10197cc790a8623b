#pragma once
#include "firmware/logic/facts.hpp"

/// What does not change on an oven that is sound, is worked by a careful operator and is closed.
namespace ovenproof::prove {

/// Door closed, supplies and safety devices healthy, readings valid. What follows outputs, buttons,
/// time or the process is not here.
inline constexpr logic::FactSet healthy_facts = [] {
  using enum logic::Fact;
  logic::FactSet facts = 0;
  for (const logic::Fact fact :
       {door_closed, estop_healthy, limiter_healthy, gas_supply_ok, temperature_valid, oxygen_valid,
        oxygen_has_read_air, settings_valid}) {
    facts |= logic::bit(fact);
  }
  return facts;
}();

}  // namespace ovenproof::prove
