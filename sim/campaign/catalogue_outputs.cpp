#include <fmt/format.h>

#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"
#include "sim/machine/io_list.hpp"

namespace ovenproof::campaign {
namespace {

using hal::DigitalOut;
using enum logic::Cause;
using Causes = std::vector<logic::Cause>;

struct Told {
  Causes off;
  Causes on;
};

Told told_of(DigitalOut point) {
  switch (point) {
    case DigitalOut::k1:
      return {{k1_not_closed}, {k1_welded}};
    case DigitalOut::k2:
      return {{k2_not_closed}, {k2_welded}};
    case DigitalOut::fan:
      return {{fan_not_proven}, {fan_unexpected}};
    case DigitalOut::purge_valve:
      return {{purge_flow_missing}, {purge_flow_unexpected}};
    case DigitalOut::process_valve:
      return {{process_flow_missing}, {process_flow_unexpected}};
    case DigitalOut::damper:
      return {{damper_not_open}, {damper_not_closed}};
    case DigitalOut::blower:
      return {{blower_not_proven}, {blower_unexpected}};
    default:
      return {};
  }
}

Mode output_mode(const std::string& tag, std::string_view name, std::string what,
                 std::string_view list, Causes right, Realisation how) {
  Mode mode;
  mode.id = fmt::format("{}.{}", tag, name);
  mode.component = tag;
  mode.kind = ComponentKind::output;
  mode.what = std::move(what);
  mode.source = fmt::format("{}: {}", annex_D, list);
  mode.realisations.push_back(std::move(how));
  mode.right_first_outs = std::move(right);
  return mode;
}

void add_coil(const machine::Point& point, const std::string& tag, std::vector<Mode>& all) {
  const auto output = static_cast<DigitalOut>(point.index);
  const std::string name(mock::name(output));
  const Told told = told_of(output);
  all.push_back(output_mode(
      tag, "coil_off", fmt::format("{}: its output or wire is open, never energised", point.what),
      "conductors, semiconductors", told.off,
      realise(Onset::abrupt, {fmt::format("fault: {} open", name)})));
  all.push_back(output_mode(tag, "coil_on",
                            fmt::format("{}: its output is shorted, always energised", point.what),
                            "conductors, semiconductors", told.on,
                            realise(Onset::abrupt, {fmt::format("fault: {} short", name)})));
  all.push_back(output_mode(
      tag, "coil_loose", fmt::format("{}: its wire comes and goes, 0.3 s every 20 s", point.what),
      "connectors", told.off,
      realise(Onset::intermittent,
              {fmt::format("fault: {} intermittent 300 ms every 20 s", name)})));
}

void add_drive(const std::string& tag, std::vector<Mode>& all) {
  const Causes too_hot{over_temperature, limiter_tripped, heating_not_done_in_time};
  const Causes too_cold{no_temperature_rise, heating_not_done_in_time};
  const auto add = [&](std::string_view name, std::string what, std::string_view list, Causes right,
                       Onset onset, std::string phrase) {
    all.push_back(output_mode(tag, name, std::move(what), list, std::move(right),
                              realise(onset, {std::move(phrase)})));
  };
  add("open", "heater drive: no signal", "conductors", too_cold, Onset::abrupt,
      "fault: heater open");
  add("full", "heater drive: full, whatever is demanded", "semiconductors", too_hot, Onset::abrupt,
      "fault: heater short");
  add("stuck_half", "heater drive: half, whatever is demanded", "semiconductors",
      {over_temperature, limiter_tripped, no_temperature_rise, heating_not_done_in_time},
      Onset::abrupt, "fault: heater stuck_at 500 permille");
  add("loose", "heater drive: comes and goes, 5 s every 20 s", "connectors", too_cold,
      Onset::intermittent, "fault: heater intermittent 5 s every 20 s");
}

}  // namespace

std::vector<Mode> output_modes(const machine::Machine& machine) {
  std::vector<Mode> all;
  const auto points = machine::all_points();
  for (std::size_t i = 0; i < points.size(); ++i) {
    const machine::Point& point = points[i];
    if (!machine::has_part(point.part, machine.settings.options)) continue;
    if (point.signal == machine::Signal::coil_out) add_coil(point, machine.tags[i], all);
    if (point.signal == machine::Signal::analog_out) add_drive(machine.tags[i], all);
  }
  return all;
}

}  // namespace ovenproof::campaign
