#include "sim/evidence/reaction.hpp"

#include <array>
#include <utility>

namespace ovenproof::evidence {
namespace {

using hal::DigitalIn;
using logic::Fact;

/// Facts that are one debounced contact.
constexpr std::array contacts{std::pair{Fact::estop_healthy, DigitalIn::estop_healthy},
                              std::pair{Fact::limiter_healthy, DigitalIn::limiter_healthy},
                              std::pair{Fact::gas_supply_ok, DigitalIn::gas_supply_ok},
                              std::pair{Fact::purge_flow, DigitalIn::purge_flow},
                              std::pair{Fact::process_flow, DigitalIn::process_flow},
                              std::pair{Fact::fan_running, DigitalIn::fan_running},
                              std::pair{Fact::k1_open, DigitalIn::k1_open},
                              std::pair{Fact::k2_open, DigitalIn::k2_open},
                              std::pair{Fact::damper_open, DigitalIn::damper_open},
                              std::pair{Fact::damper_closed, DigitalIn::damper_closed},
                              std::pair{Fact::blower_running, DigitalIn::blower_running}};

/// How long conditioning takes until the fact has this value; nothing if that is no fixed time.
std::optional<std::uint32_t> conditioning_ms(Fact fact, bool value,
                                             const controller::Configuration& c) {
  for (const auto& [each, point] : contacts) {
    if (each != fact) continue;
    const conditioning::DebounceLimits& limits = c.contacts[static_cast<std::size_t>(point)];
    return value ? limits.on_time.value : limits.off_time.value;
  }
  switch (fact) {
    case Fact::door_closed:
      return value ? c.settings.contacts.door_close_debounce.value
                   : c.settings.contacts.door_open_debounce.value;
    case Fact::door_contacts_disagree:
      return c.settings.contacts.door_discrepancy.value;
    case Fact::thermocouples_disagree:
      return c.settings.temperature.disagree_time.value;
    case Fact::over_temperature:
      return 0;
    case Fact::oxygen_frozen:
      return c.settings.oxygen.frozen_time.value;
    case Fact::oxygen_air_check_failed:
      return c.settings.oxygen.air_open_time.value;
    case Fact::oxygen_falls_too_soon:
      return c.settings.oxygen.early_time.value;
    case Fact::no_temperature_rise:
      return c.settings.temperature.no_rise_time.value;
    default:
      return std::nullopt;
  }
}

}  // namespace

std::optional<Reaction> reaction_of(const logic::Row& row,
                                    const controller::Configuration& configuration) {
  Reaction reaction;
  if (row.condition.otherwise == nullptr) {
    const auto ms = conditioning_ms(row.condition.fact, row.condition.is, configuration);
    if (!ms) return std::nullopt;
    reaction.conditioning_ms = *ms;
  } else if (row.delay == logic::Timer::count) {
    return std::nullopt;
  }
  if (row.delay != logic::Timer::count) {
    reaction.delay_ms = configuration.timers[static_cast<std::size_t>(row.delay)].value;
  }
  reaction.latest_ms =
      reaction.conditioning_ms + reaction.delay_ms + 2 * configuration.settings.scan.period.value;
  return reaction;
}

}  // namespace ovenproof::evidence
