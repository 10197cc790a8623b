#include "sim/evidence/reaction.hpp"

#include <doctest/doctest.h>

namespace ovenproof::evidence {
namespace {

controller::Configuration configuration() {
  settings::Settings settings;
  settings.scan.period.value = 10;
  settings.contacts.contact_debounce.value = 30;
  settings.contacts.door_open_debounce.value = 20;
  settings.timing.supply_loss.value = 2000;
  settings.timing.flow_gone.value = 5000;
  return controller::configure(settings);
}

Reaction of(logic::Cause cause) {
  return reaction_of(logic::row_of(cause), configuration()).value();
}

TEST_CASE("a contact that protects acts in the scan that sees it, two scans at most") {
  const Reaction stop = of(logic::Cause::emergency_stop);
  CHECK(stop.conditioning_ms == 0);
  CHECK(stop.delay_ms == 0);
  CHECK(stop.latest_ms == 20);
}

TEST_CASE("debounce and delay add up") {
  const Reaction supply = of(logic::Cause::gas_supply_lost);
  CHECK(supply.conditioning_ms == 30);
  CHECK(supply.delay_ms == 2000);
  CHECK(supply.latest_ms == 2050);
  // Flow that comes is debounced; flow that goes is believed at once.
  CHECK(of(logic::Cause::purge_flow_unexpected).conditioning_ms == 30);
  CHECK(of(logic::Cause::purge_flow_missing).conditioning_ms == 0);
  CHECK(of(logic::Cause::door_opened_in_cycle).conditioning_ms == 20);
}

TEST_CASE("what depends on the process has no time of its own") {
  CHECK_FALSE(reaction_of(logic::row_of(logic::Cause::oxygen_not_falling), configuration()));
  CHECK_FALSE(reaction_of(logic::row_of(logic::Cause::power_up), configuration()));
  CHECK(reaction_of(logic::row_of(logic::Cause::gate_not_met_in_time), configuration()));
}

}  // namespace
}  // namespace ovenproof::evidence
