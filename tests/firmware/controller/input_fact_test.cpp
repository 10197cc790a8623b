#include <algorithm>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "bench.hpp"

using namespace ovenproof;
using namespace ovenproof::controller::testing;

namespace {

using Facts = std::vector<Fact>;

/// The facts in which two benches differ, timers apart.
Facts different(const Bench& a, const Bench& b) {
  Facts facts;
  for (std::size_t i = 0; i < logic::plain_fact_count; ++i) {
    const auto each = static_cast<Fact>(i);
    if (a.fact(each) != b.fact(each)) facts.push_back(each);
  }
  return facts;
}

std::string names(const Facts& facts) {
  std::string text;
  for (const Fact each : facts) text += std::string(text.empty() ? "" : " ") + logic::name_of(each);
  return text;
}

struct Reaches {
  DigitalIn point;
  Fact fact;
  Facts besides = {};  ///< facts that rest on it too
};

const std::vector<Reaches>& wiring() {
  static const std::vector<Reaches> all{
      {DigitalIn::estop_healthy, Fact::estop_healthy},
      {DigitalIn::limiter_healthy, Fact::limiter_healthy},
      {DigitalIn::gas_supply_ok, Fact::gas_supply_ok},
      {DigitalIn::purge_flow, Fact::purge_flow},
      {DigitalIn::process_flow, Fact::process_flow},
      {DigitalIn::fan_running, Fact::fan_running},
      // Elements behind contactors that are not proven open may be getting hot.
      {DigitalIn::k1_open, Fact::k1_open, {Fact::elements_cool}},
      {DigitalIn::k2_open, Fact::k2_open, {Fact::elements_cool}},
      {DigitalIn::damper_open, Fact::damper_open},
      {DigitalIn::damper_closed, Fact::damper_closed},
      {DigitalIn::blower_running, Fact::blower_running},
  };
  return all;
}

}  // namespace

TEST_CASE("each contact moves its own fact and no other, both ways") {
  for (const Reaches& each : wiring()) {
    CAPTURE(logic::name_of(each.fact));
    Bench still;
    Bench moved;
    still.run(1'500);
    moved.run(1'500);
    const bool at_rest = oven_at_rest().closed(each.point);
    CHECK(still.fact(each.fact) == at_rest);

    moved.field.set(each.point, !at_rest);
    still.run(200);
    moved.run(200);
    Facts expected{each.fact};
    expected.insert(expected.end(), each.besides.begin(), each.besides.end());
    std::sort(expected.begin(), expected.end());
    CHECK(names(different(still, moved)) == names(expected));
    CHECK(moved.fact(each.fact) == !at_rest);

    moved.field.set(each.point, at_rest);
    still.run(200);
    moved.run(200);
    // Cool elements are so only after a run-on time; the contact itself is back at once.
    CHECK(names(different(still, moved)) == names(each.besides));
  }
}

TEST_CASE("start and reset move their own fact, for the one scan in which they are seen let go") {
  for (const auto& [point, fact] : {std::pair{DigitalIn::start_button, Fact::start_pressed},
                                    {DigitalIn::reset_button, Fact::reset_pressed}}) {
    for (const unsigned held_ms : {20U, 300U, 4'000U, 6'000U}) {
      CAPTURE(logic::name_of(fact));
      CAPTURE(held_ms);
      Bench still;
      Bench moved;
      still.run(1'500);
      moved.run(1'500);
      const bool counts = held_ms > quick_settings().contacts.button_debounce.value &&
                          held_ms <= conditioning::longest_press.value;
      unsigned told = 0;
      for (unsigned ms = 0; ms < held_ms + 500; ms += 10) {
        moved.field.set(point, ms < held_ms);
        still.run(10);
        moved.run(10);
        const Facts found = different(still, moved);
        if (found.empty()) continue;
        CHECK(names(found) == logic::name_of(fact));
        CHECK(ms >= held_ms);
        ++told;
      }
      CHECK(told == (counts ? 1 : 0));
    }
  }
}

TEST_CASE("the stop button is pressed when its normally closed contact is open, or its wire") {
  Bench bench;
  bench.run(300);
  CHECK_FALSE(bench.fact(Fact::stop_pressed));
  bench.field.set(DigitalIn::stop_button, false);
  bench.run(20);
  CHECK(bench.fact(Fact::stop_pressed));
  bench.field.set(DigitalIn::stop_button, true);
  bench.run(200);
  CHECK_FALSE(bench.fact(Fact::stop_pressed));
  REQUIRE(bench.board.inject({DigitalIn::stop_button, mock::Open{}}).id);
  bench.run(20);
  CHECK(bench.fact(Fact::stop_pressed));
}

TEST_CASE("every contact that protects reads unsafe with its wire broken") {
  for (const auto& [point, fact] : {std::pair{DigitalIn::door_closed_1, Fact::door_closed},
                                    {DigitalIn::door_closed_2, Fact::door_closed},
                                    {DigitalIn::estop_healthy, Fact::estop_healthy},
                                    {DigitalIn::limiter_healthy, Fact::limiter_healthy},
                                    {DigitalIn::gas_supply_ok, Fact::gas_supply_ok},
                                    {DigitalIn::k1_open, Fact::k1_open},
                                    {DigitalIn::k2_open, Fact::k2_open}}) {
    CAPTURE(logic::name_of(fact));
    Bench bench;
    bench.run(300);
    REQUIRE(bench.fact(fact));
    REQUIRE(bench.board.inject({point, mock::Open{}}).id);
    bench.run(100);
    CHECK_FALSE(bench.fact(fact));
  }
}

TEST_CASE("both door contacts make the door's facts, and one alone a disagreement") {
  Bench still;
  Bench moved;
  const auto run_both = [&](std::uint32_t ms) {
    still.run(ms);
    moved.run(ms);
  };
  run_both(500);
  CHECK(still.fact(Fact::door_closed));

  for (const DigitalIn contact : {DigitalIn::door_closed_1, DigitalIn::door_closed_2}) {
    moved.field.set(contact, false);
    run_both(500);
    CHECK(names(different(still, moved)) == "door_closed");
    run_both(1'000);
    CHECK(names(different(still, moved)) == "door_closed door_contacts_disagree");
    moved.field.set(contact, true);
    run_both(500);
    CHECK(names(different(still, moved)).empty());
  }

  moved.field.set(DigitalIn::door_closed_1, false);
  moved.field.set(DigitalIn::door_closed_2, false);
  run_both(500);
  CHECK(names(different(still, moved)) == "door_closed door_open");
}

TEST_CASE("a door with one contact does not listen to the second") {
  settings::Settings one = quick_settings();
  one.options.door_contacts = 1;
  Bench still(one);
  Bench moved(one);
  moved.field.set(DigitalIn::door_closed_2, false);
  still.run(2'000);
  moved.run(2'000);
  CHECK(names(different(still, moved)).empty());
  moved.field.set(DigitalIn::door_closed_1, false);
  moved.run(500);
  CHECK(moved.fact(Fact::door_open));
  CHECK_FALSE(moved.fact(Fact::door_closed));
}

TEST_CASE("what protects is believed within two scans, what permits only after its debounce") {
  for (const Reaches& each : wiring()) {
    const bool protects = each.fact == Fact::estop_healthy || each.fact == Fact::limiter_healthy ||
                          each.fact == Fact::fan_running || each.fact == Fact::process_flow ||
                          each.fact == Fact::purge_flow || each.fact == Fact::damper_open;
    CAPTURE(logic::name_of(each.fact));
    mock::FieldInputs on = oven_at_rest();
    on.set(each.point, true);
    Bench bench(quick_settings(), on);
    bench.run(300);
    REQUIRE(bench.fact(each.fact));
    bench.field.set(each.point, false);
    bench.run(20);
    CHECK(bench.fact(each.fact) == !protects);
    bench.run(100);
    CHECK_FALSE(bench.fact(each.fact));
    bench.field.set(each.point, true);
    bench.run(30);
    CHECK_FALSE(bench.fact(each.fact));
    bench.run(100);
    CHECK(bench.fact(each.fact));
  }
}
