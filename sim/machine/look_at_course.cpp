#include <string>
#include <vector>

#include <fmt/format.h>

#include "sim/machine/checker.hpp"
#include "sim/machine/given.hpp"
#include "sim/machine/thermal_course.hpp"

namespace ovenproof::machine {

namespace {

std::vector<std::string> overshoot_keys(std::vector<std::string> first, std::size_t segment) {
  const std::string item = std::string(segment_list) + "[].";
  first.insert(first.end(), {"control.gain", "control.integral_time", "control.derivative_time",
                             full_path(item + "target", segment), full_path(item + "ramp", segment),
                             "heater.power"});
  return first;
}

void look_at_overshoot(Checker& look, const Machine& m, const ThermalCourse& course) {
  const auto text = [&](double degC, std::size_t segment, std::string_view what,
                        std::string_view then) {
    return fmt::format(
        "above {:.1f} degC, which {} reaches in segment {} (target {:.4g} degC) with these "
        "settings "
        "of the temperature controller: {}",
        degC, what, segment + 1, m.settings.programme.segments[segment].target.value, then);
  };
  look.need(course.reading_degC <= m.settings.temperature.high_limit.value,
            overshoot_keys({"temperature.high_limit"}, course.reading_segment),
            text(course.reading_degC, course.reading_segment, "the control temperature",
                 "the cycle trips on over_temperature"),
            "tune the controller, ramp more slowly or leave more room below the limit");
  look.need(course.limiter_degC < m.plant.limiter.set_point_degC,
            overshoot_keys({"limiter.set_point", "limiter.element_share"}, course.limiter_segment),
            text(course.limiter_degC, course.limiter_segment, "the limiter's sensor",
                 "the limiter trips the hard-wired chain"),
            "tune the controller, ramp more slowly or place the limiter's sensor elsewhere");
}

/// Cooling ends when the chamber is at the unload temperature and its gas is settled. Where the
/// second is much later, the first is not what ends the cycle.
void look_at_cooling(Checker& look, const Machine& m, const ThermalCourse& course) {
  if (!course.heated) return;
  const settings::Cooling& cooling = m.settings.cooling;
  if (!course.cool_s) {
    look.need(
        false, {"cooling.unload_temperature", "fan.shaft_power"},
        fmt::format("a temperature that the oven cools to: {:.0f} h after the end of heat the "
                    "chamber is at {:.4g} degC, and the load cannot be unloaded",
                    longest_cooling_s / 3600.0, course.last_degC));
    return;
  }
  const std::string settled =
      course.settled_s ? fmt::format("only {:.1f} min after the end of heat, at {:.0f} degC",
                                     *course.settled_s / 60.0, course.last_degC)
                       : fmt::format("not within {:.0f} h: the chamber is at {:.0f} degC by then",
                                     longest_cooling_s / 3600.0, course.last_degC);
  const std::string ends = fmt::format(
      "The chamber is at {:.0f} degC {:.1f} min after the end of heat, but the load can be "
      "unloaded "
      "{}",
      cooling.unload_temperature.value, *course.cool_s / 60.0, settled);
  if (cooling.unload_temperature > cooling.settled_temperature) {
    look.need(false, {"cooling.unload_temperature", "cooling.settled_temperature"},
              "at most cooling.settled_temperature: cooling ends when both are met. " + ends);
    return;
  }
  // A tenth and a minute: what is shorter does not lengthen a cycle noticeably.
  const bool soon = course.settled_s && *course.settled_s <= *course.cool_s * 1.1 + 60.0;
  const double make_up = cooling.make_up_fraction.value * m.settings.purge.process_flow.value;
  std::vector<std::string> keys{"cooling.settled_shrink"};
  if (make_up < cooling.settled_shrink.value) {
    keys = {"cooling.make_up_fraction", "purge.process_flow"};
  }
  keys.insert(keys.end(), {"cooling.unload_temperature", "purge.chamber_volume"});
  look.need(soon, keys,
            fmt::format("a limit above {:.2g} L/min, by which the gas still shrinks at the unload "
                        "temperature: cooling ends when the gas is settled. {}",
                        course.shrink_L_per_min, ends));
}

}  // namespace

void look_at_course(Checker& look, const Machine& m) {
  const ThermalCourse course = thermal_course(m);
  look_at_overshoot(look, m, course);
  look_at_cooling(look, m, course);
}

}  // namespace ovenproof::machine
