#include "sim/campaign/crossings.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::campaign {
namespace {

constexpr int temperature_steps = 8;
/// From a tenth of the gas to 10 ppm: below lies the oxygen of the supplied gas.
constexpr int oxygen_decades = 5;

double hottest_target_degC(const settings::Programme& programme) {
  double hottest = 0.0;
  for (std::uint32_t i = 0; i < programme.segment_count; ++i) {
    hottest = std::max(hottest, static_cast<double>(programme.segments[i].target.value));
  }
  return hottest;
}

}  // namespace

CrossingWatch::CrossingWatch(const scenario::OvenContext& oven) {
  const double room = plant::Surroundings{}.ambient_degC;
  const double hottest = hottest_target_degC(oven.machine.settings.programme);
  const auto add = [&](StateKind kind, Quantity quantity, double level, std::string name,
                       bool rising, bool after_hottest = false) {
    marks_.push_back({kind, std::move(name), quantity, level, rising, after_hottest});
  };
  for (int step = 1; step < temperature_steps; ++step) {
    const double level = room + (hottest - room) * step / temperature_steps;
    for (const bool rising : {true, false}) {
      add(StateKind::temperature, &plant::Truth::gas_degC, level,
          fmt::format("{:.0f}degC_{}", level, rising ? "rising" : "falling"), rising, !rising);
    }
  }
  double ppm = 1e6;
  for (int decade = 0; decade < oxygen_decades; ++decade) {
    ppm /= 10.0;
    for (const bool rising : {false, true}) {
      add(StateKind::oxygen, &plant::Truth::oxygen, ppm * 1e-6,
          fmt::format("{:.0f}ppm_{}", ppm, rising ? "rising" : "falling"), rising);
    }
  }
  const auto halfway = [&](Quantity quantity, const char* what) {
    for (const bool rising : {true, false}) {
      add(StateKind::position, quantity, 0.5,
          fmt::format("{}_{}", what, rising ? "opening" : "closing"), rising);
    }
  };
  halfway(&plant::Truth::door_opening, "door");
  halfway(&plant::Truth::purge_valve, "purge_valve");
  halfway(&plant::Truth::process_valve, "process_valve");
  if (oven.machine.settings.options.jacket_cooling) {
    halfway(&plant::Truth::damper_opening, "damper");
  }
}

void CrossingWatch::observe(const plant::Truth& truth, std::uint32_t cycle, std::uint64_t scan) {
  if (cycle != cycle_) end_cycle();
  cycle_ = cycle;
  for (Mark& mark : marks_) {
    const double now = truth.*mark.quantity;
    const double before = std::exchange(mark.before, now).value_or(now);
    if (mark.after_hottest && now > mark.highest) {
      mark.highest = now;
      mark.passed.reset();
    }
    const bool passes = mark.rising ? before < mark.level && now >= mark.level
                                    : before > mark.level && now <= mark.level;
    if (passes && !mark.passed) mark.passed = scan;
  }
}

void CrossingWatch::end_cycle() {
  for (std::size_t i = 0; i < marks_.size(); ++i) {
    Mark& mark = marks_[i];
    if (mark.passed && cycle_ > 0) {
      crossings_.push_back({mark.kind, i, mark.name, mark.rising, cycle_, *mark.passed});
    }
    mark.passed.reset();
    mark.highest = mark.before.value_or(0.0);
  }
}

}  // namespace ovenproof::campaign
