#include "sim/campaign/instants.hpp"

#include <algorithm>
#include <iterator>
#include <set>

#include <doctest/doctest.h>

#include "fixture.hpp"
#include "sim/machine/load.hpp"
#include "sim/scenario/oven_bank.hpp"

using namespace ovenproof;
using namespace ovenproof::campaign;

namespace {

/// The instants of a mode in the nominal run.
std::vector<Instant> instants_of(const Campaign& campaign, std::string_view mode) {
  std::vector<Instant> found;
  for (const Injection& each : campaign.plan().injections) {
    if (campaign.plan().modes[each.mode].id != mode) continue;
    if (campaign.plan().instants[each.instant].attendant != cycle::Habit::usual) continue;
    found.push_back(campaign.plan().instants[each.instant]);
  }
  return found;
}

double chamber_degC(const Campaign& campaign, const Instant& instant) {
  return campaign.nominal().at(instant.scan)->rig.truth().gas_degC;
}

}  // namespace

TEST_CASE(
    "a slip of a thermocouple is tried at every eighth of a cooling of hours, in one cycle or the "
    "other") {
  auto machine = std::get<machine::Machine>(
      machine::load_file(SOURCE_DIR "/scenarios/machines/titanium_bracket_90.yaml"));
  machine.settings.programme.segments[0].soak = Milliseconds(300'000);
  const Campaign campaign(scenario::make_oven(machine), {});
  const double hottest_degC = machine.settings.programme.segments[0].target.value;
  const double coolest_degC = machine.settings.cooling.unload_temperature.value;
  const double step_K = (hottest_degC - 20.0) / 8.0;

  double hours = 0.0;
  for (const Nominal::Stretch& each : campaign.nominal().stretches()) {
    if (each.phase == logic::Phase::cooling && each.cycle == 1) {
      hours = static_cast<double>((each.end - each.first) * campaign.nominal().oven().period_ms) /
              3.6e6;
    }
  }
  REQUIRE(hours > 2.0);

  std::vector<double> tried_degC;
  for (const Instant& each : instants_of(campaign, "TE-101.slipped")) {
    if (each.phase == logic::Phase::cooling) tried_degC.push_back(chamber_degC(campaign, each));
  }
  std::ranges::sort(tried_degC, std::greater{});
  REQUIRE(tried_degC.size() > 1);
  CHECK(tried_degC.front() > hottest_degC - 1.05 * step_K);
  CHECK(tried_degC.back() < coolest_degC + step_K);
  for (std::size_t i = 1; i < tried_degC.size(); ++i) {
    CAPTURE(tried_degC[i - 1]);
    CAPTURE(tried_degC[i]);
    CHECK(tried_degC[i - 1] - tried_degC[i] < 1.05 * step_K);
  }
}

TEST_CASE("a mark is passed in the scan that is named, from the side that is named, once a cycle") {
  const Nominal& nominal = test::quick_campaign().nominal();
  std::set<std::pair<std::uint32_t, std::string>> seen;
  const auto quantity = [](const Crossing& mark, std::uint64_t scan, const Nominal& run) {
    const plant::Truth truth = run.at(scan)->rig.truth();
    if (mark.kind == StateKind::temperature) return truth.gas_degC;
    if (mark.kind == StateKind::oxygen) return truth.oxygen * 1e6;
    if (mark.name.starts_with("door")) return truth.door_opening;
    if (mark.name.starts_with("purge")) return truth.purge_valve;
    return mark.name.starts_with("process") ? truth.process_valve : truth.damper_opening;
  };
  for (const Crossing& each : nominal.crossings()) {
    CAPTURE(each.name);
    CAPTURE(each.cycle);
    CHECK(seen.emplace(each.cycle, each.name).second);
    const bool rising = each.name.ends_with("rising") || each.name.ends_with("opening");
    const double level = each.kind == StateKind::position ? 0.5 : std::stod(each.name);
    // Names are rounded: eighths of a range of 100 K are 12.5 K.
    const double rounding = each.kind == StateKind::temperature ? 0.51 : 1e-6 * level;
    const double before = quantity(each, each.scan - 1, nominal);
    const double after = quantity(each, each.scan, nominal);
    CHECK((rising ? before < after : before > after));
    CHECK(std::min(before, after) < level + rounding);
    CHECK(std::max(before, after) > level - rounding);
  }
  for (const std::string name : {"door_opening", "purge_valve_closing", "damper_opening",
                                 "1000ppm_falling", "70degC_rising", "70degC_falling"}) {
    CAPTURE(name);
    CHECK(seen.contains({1, name}));
  }
  // A cycle begins when the door is opened on the load of the one before.
  CHECK(seen.contains({2, "1000ppm_rising"}));
}

TEST_CASE("a mode is tried at every mark of the states that make a difference to it") {
  const Campaign& campaign = test::quick_campaign();
  const auto marks_of = [&](std::string_view mode) {
    std::set<std::string> names;
    for (const Instant& each : instants_of(campaign, mode)) {
      names.insert(each.id.substr(each.id.rfind('.') + 1));
    }
    return names;
  };
  std::set<std::string> temperature;
  std::set<std::string> oxygen;
  std::set<std::string> position;
  for (const Crossing& each : campaign.nominal().crossings()) {
    if (each.cycle > cycles_injected) continue;
    (each.kind == StateKind::temperature ? temperature
     : each.kind == StateKind::oxygen    ? oxygen
                                         : position)
        .insert(each.name);
  }
  REQUIRE(temperature.size() > 9);
  REQUIRE(position.size() == 8);
  const auto all_of = [](const std::set<std::string>& wanted, const std::set<std::string>& got) {
    return std::ranges::includes(got, wanted);
  };
  std::set<std::string> falling;
  std::set<std::string> rising;
  for (const std::string& each : temperature) {
    (each.ends_with("falling") ? falling : rising).insert(each);
  }
  const auto warms = [&](std::string_view mode) {
    std::set<std::string> shared;
    std::ranges::set_intersection(rising, marks_of(mode), std::inserter(shared, shared.end()));
    return shared.size();
  };
  for (const char* mode : {"TE-1B.stuck", "heater.switch_shorted", "supply.lost"}) {
    CAPTURE(mode);
    CHECK(all_of(falling, marks_of(mode)));
    CHECK(warms(mode) >= rising.size() / 2);
  }
  CHECK(warms("TE-1B.drift_up") == 0);
  CHECK(all_of(oxygen, marks_of("AE-1.stuck")));
  CHECK(all_of(oxygen, marks_of("supply.lost")));
  CHECK(all_of(oxygen, marks_of("seal.torn")));
  // Two modes that take turns are at all positions together.
  std::set<std::string> together = marks_of("ZS-1.open");
  together.merge(marks_of("ZS-1.bridged"));
  CHECK(all_of(position, together));
  CHECK_FALSE(all_of(oxygen, marks_of("TE-1B.stuck")));
  CHECK_FALSE(all_of(falling, marks_of("TE-1B.drift_up")));
}

TEST_CASE("marks of the state do not double what is tried") {
  const Campaign& campaign = test::quick_campaign();
  const std::size_t least = PlanOptions{}.instants;
  for (const Mode& mode : campaign.plan().modes) {
    if (mode.excluded) continue;
    CAPTURE(mode.id);
    CHECK(instants_of(campaign, mode.id).size() >= least);
  }
  CHECK(campaign.plan().injections.size() < 2 * least * campaign.plan().modes.size());
}
