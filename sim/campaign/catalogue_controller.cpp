#include <fmt/format.h>

#include "sim/campaign/catalogue.hpp"
#include "sim/campaign/realise.hpp"

namespace ovenproof::campaign {
namespace {

using enum logic::Cause;
using Causes = std::vector<logic::Cause>;

Mode controller_mode(std::string_view name, std::string what, std::string source, Causes right,
                     Onset onset, const std::vector<std::string>& phrases) {
  Mode mode;
  mode.id = fmt::format("controller.{}", name);
  mode.component = "controller";
  mode.kind = ComponentKind::controller;
  mode.what = std::move(what);
  mode.source = std::move(source);
  mode.realisations.push_back(realise(onset, phrases));
  mode.right_first_outs = std::move(right);
  return mode;
}

}  // namespace

std::vector<Mode> controller_modes(const machine::Machine& machine) {
  const std::string processor = fmt::format("{}: programmable electronics", annex_D);
  const std::string practice(usual);
  Causes no_reading{temperature_invalid};
  if (machine.settings.options.oxygen_sensor != settings::OxygenSensor::none) {
    no_reading.push_back(oxygen_invalid);
  }
  return {
      controller_mode("power_dip", "mains lost for 5 s", practice, {power_up}, Onset::abrupt,
                      {"power: off for 5 s"}),
      controller_mode("power_lost", "mains lost, and stays lost", practice, {}, Onset::abrupt,
                      {"power: off"}),
      controller_mode("late_scan", "a scan comes 150 ms late", processor,
                      {scan_overrun, clock_jump}, Onset::abrupt, {"stall: 150 ms"}),
      controller_mode("hang", "the processor hangs for 5 s", processor, {watchdog_restart},
                      Onset::abrupt, {"stall: 5 s"}),
      controller_mode("clock_jump", "the clock jumps ahead by an hour", processor, {clock_jump},
                      Onset::abrupt, {"clock: jump 1 h"}),
      controller_mode("clock_stopped", "the clock stands still", processor,
                      {clock_jump, scan_overrun}, Onset::abrupt, {"clock: stop"}),
      controller_mode("clock_fast", "the clock runs 5 % fast", processor, {}, Onset::drifting,
                      {"clock: drift 50000 ppm"}),
      controller_mode("clock_slow", "the clock runs 5 % slow", processor, {}, Onset::drifting,
                      {"clock: drift -50000 ppm"}),
      controller_mode("clock_double", "the clock runs twice as fast", processor, {clock_jump},
                      Onset::abrupt, {"clock: drift 1000000 ppm"}),
      controller_mode("clock_half", "the clock runs half as fast", processor, {clock_jump},
                      Onset::abrupt, {"clock: drift -500000 ppm"}),
      controller_mode("converter_stopped", "the analogue converter stands still", processor,
                      no_reading, Onset::abrupt, {"converter: stop"}),
      controller_mode("settings_flipped", "a bit of the stored settings is inverted", processor,
                      {settings_invalid}, Onset::abrupt, {"store: flip 40"}),
      controller_mode("store_failing", "the settings cannot be read", processor, {settings_invalid},
                      Onset::abrupt, {"store: failing"}),
  };
}

}  // namespace ovenproof::campaign
