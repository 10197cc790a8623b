#include <fmt/format.h>

#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/machine/io_list.hpp"

namespace ovenproof::campaign {
namespace {

using hal::DigitalIn;
using enum logic::Cause;
using Causes = std::vector<logic::Cause>;

/// What an operator must be told when a contact no longer makes, and when it no longer breaks.
struct Told {
  Causes open;
  Causes bridged;
};

Told told_of(DigitalIn point) {
  switch (point) {
    case DigitalIn::door_closed_1:
    case DigitalIn::door_closed_2:
      return {{door_opened_in_cycle, door_contacts_disagree}, {door_contacts_disagree}};
    case DigitalIn::estop_healthy:
      return {{emergency_stop}, {}};
    case DigitalIn::limiter_healthy:
      return {{limiter_tripped}, {}};
    case DigitalIn::gas_supply_ok:
      return {{gas_supply_lost, repurge_limit}, {}};
    case DigitalIn::purge_flow:
      return {{purge_flow_missing}, {purge_flow_unexpected}};
    case DigitalIn::process_flow:
      return {{process_flow_missing}, {process_flow_unexpected}};
    case DigitalIn::fan_running:
      return {{fan_not_proven}, {fan_unexpected}};
    case DigitalIn::k1_open:
      return {{k1_welded}, {k1_not_closed}};
    case DigitalIn::k2_open:
      return {{k2_welded}, {k2_not_closed}};
    case DigitalIn::damper_open:
      return {{damper_not_open}, {damper_switches_contradict}};
    case DigitalIn::damper_closed:
      return {{damper_not_closed}, {damper_switches_contradict}};
    case DigitalIn::blower_running:
      return {{blower_not_proven}, {blower_unexpected}};
    case DigitalIn::start_button:
    case DigitalIn::stop_button:
    case DigitalIn::reset_button:
    case DigitalIn::count:
      break;
  }
  return {};
}

Mode contact_mode(const machine::Point& point, const std::string& tag, std::string_view name,
                  std::string what, std::string_view list, Causes right, Realisation how) {
  Mode mode;
  mode.id = fmt::format("{}.{}", tag, name);
  mode.component = tag;
  mode.kind = ComponentKind::contact;
  mode.what = fmt::format("{}: {}", point.what, what);
  mode.source = fmt::format("{}: {}", annex_D, list);
  mode.realisations.push_back(std::move(how));
  mode.right_first_outs = std::move(right);
  return mode;
}

}  // namespace

std::vector<Mode> contact_modes(const machine::Machine& machine) {
  std::vector<Mode> all;
  const auto points = machine::all_points();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const machine::Point& point = points[i];
    if (point.signal != machine::Signal::contact_in) continue;
    if (!machine::has_part(point.part, machine.settings.options)) continue;
    const std::string& tag = machine.tags[i];
    const auto input = static_cast<DigitalIn>(point.index);
    const std::string name(mock::name(input));
    const Told told = told_of(input);
    all.push_back(contact_mode(point, tag, "open", "does not close, or its wire is broken",
                               "switches, conductors", told.open,
                               realise(Onset::abrupt, {fmt::format("fault: {} open", name)})));
    all.push_back(contact_mode(point, tag, "bridged", "does not open, or is bridged by a short",
                               "switches, conductors", told.bridged,
                               realise(Onset::abrupt, {fmt::format("fault: {} short", name)})));
    // A read-back that comes and goes says, while it is gone, what an open one says.
    all.push_back(contact_mode(
        point, tag, "loose", "comes and goes: 0.3 s open every 20 s", "connectors", told.open,
        realise(Onset::intermittent,
                {fmt::format("fault: {} intermittent 300 ms every 20 s", name)})));
  }
  return all;
}

}  // namespace ovenproof::campaign
