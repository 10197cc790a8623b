#include <algorithm>
#include <optional>
#include <string>

#include <doctest/doctest.h>

#include "oven_rig.hpp"
#include "sim/cycle/run.hpp"

using namespace ovenproof;
using logic::Cause;
using logic::Phase;

namespace {

rig::Oven started_by_door() {
  rig::Oven oven = rig::testing::quick_oven();
  oven.settings.options.start_by_door = true;
  return oven;
}

const hazards::HazardVerdict& verdict(const cycle::RunResult& result, const std::string& id) {
  const auto found = std::find_if(result.hazards.begin(), result.hazards.end(),
                                  [&id](const auto& each) { return each.id == id; });
  REQUIRE(found != result.hazards.end());
  return *found;
}

}  // namespace

TEST_CASE("after an abnormal opening nothing starts, though closing the door would start a cycle") {
  for (const Phase phase : {Phase::purging, Phase::ramp, Phase::soak, Phase::cooling}) {
    CAPTURE(logic::name_of(phase));
    std::optional<Phase> before_opening;
    bool was_open = false;
    double closed_again_s = 0.0;
    long energised_after = 0;
    const auto look = [&](const rig::Rig& rig) {
      const Phase now = rig.controller().commands().phase;
      const bool open = rig.truth().door_opening > 0.0;
      if (open && logic::closed_cycle.has(now)) before_opening = now;
      if (open && before_opening) was_open = true;
      if (!was_open || rig.hands.door_open) return;
      if (rig::anything_energised(rig.board().field_outputs())) ++energised_after;
      if (!open) closed_again_s += 0.01;
    };
    const cycle::RunResult result =
        cycle::run(started_by_door(), {.open_door_in = phase}, look, {});
    CHECK(result.gave_up == "");
    CHECK(result.started_by_itself == false);
    CHECK(before_opening == phase);
    CHECK(energised_after == 0);
    CHECK(closed_again_s >= 599.0);
    CHECK(result.all_holds());
    REQUIRE(result.first_trip);
    CHECK(result.first_trip->cause == Cause::door_opened_in_cycle);
    REQUIRE(result.door_opened_ms);
    CHECK(result.first_trip->ms >= *result.door_opened_ms);
    CHECK(result.first_trip->ms <= *result.door_opened_ms + 200);
    CHECK(verdict(result, "heat_with_door_open").avoided);
    CHECK(verdict(result, "gas_with_door_open").avoided);
    CHECK(verdict(result, "energised_without_start").avoided);
  }
}

TEST_CASE("a normal end and the door closed again does start the next cycle") {
  const cycle::RunResult result = cycle::run(started_by_door(), {.cycles = 2}, {}, {});
  CHECK(result.all_holds());
  CHECK(result.cycles_completed == 2);
}

TEST_CASE("a hot load that meets air through the door is waived, and only when the plan opens it") {
  const cycle::RunResult hot = cycle::run(started_by_door(), {.open_door_in = Phase::soak}, {}, {});
  const hazards::HazardVerdict& load = verdict(hot, "load_hot_in_oxygen");
  CHECK_FALSE(load.avoided);
  CHECK(hot.waived(load));
  CHECK(hot.hazards_found() == 0);
  CHECK(hot.all_holds());
  CHECK(std::any_of(hot.events.begin(), hot.events.end(), [](const cycle::Event& event) {
    return event.kind == cycle::EventKind::hazard && event.text.ends_with("(waived)");
  }));

  const cycle::RunResult cold =
      cycle::run(started_by_door(), {.open_door_in = Phase::purging}, {}, {});
  CHECK(verdict(cold, "load_hot_in_oxygen").avoided);
  CHECK_FALSE(cold.waiver);
}

TEST_CASE("a waiver covers its own hazard, from the opening on, and nothing else") {
  cycle::RunResult result;
  result.waiver = cycle::waiver_of({.open_door_in = Phase::soak});
  REQUIRE(result.waiver);
  result.door_opened_ms = 1'000;
  hazards::HazardVerdict hazard;
  hazard.id = "load_hot_in_oxygen";
  hazard.first_ms = 1'000;
  CHECK(result.waived(hazard));
  hazard.first_ms = 990;  // it was so before anybody opened the door
  CHECK_FALSE(result.waived(hazard));
  hazard.first_ms = 2'000;
  hazard.id = "heat_with_door_open";
  CHECK_FALSE(result.waived(hazard));
  hazard.id = "load_hot_in_oxygen";
  CHECK(result.waived(hazard));
  result.door_opened_ms = std::nullopt;
  CHECK_FALSE(result.waived(hazard));
  result.door_opened_ms = 1'000;
  result.waiver = std::nullopt;
  CHECK_FALSE(result.waived(hazard));
}

TEST_CASE("only plans that open a hot oven waive anything") {
  for (const Phase phase : {Phase::ramp, Phase::soak, Phase::cooling}) {
    CHECK(cycle::waiver_of({.open_door_in = phase}));
  }
  CHECK_FALSE(cycle::waiver_of({.open_door_in = Phase::purging}));
  CHECK_FALSE(cycle::waiver_of({}));
}

TEST_CASE("an opening that never falls due is told, and is no success") {
  const cycle::RunResult result =
      cycle::run(started_by_door(),
                 {.cycles = 1, .open_door_in = Phase::soak, .open_after_s = 36'000}, {}, {});
  CHECK(result.gave_up.find("not reached") != std::string::npos);
  CHECK_FALSE(result.started_by_itself);
  CHECK_FALSE(result.door_opened_ms);
  CHECK_FALSE(result.all_holds());
}
