#include "firmware/settings/validate.hpp"

#include <array>
#include <bit>
#include <cmath>
#include <limits>

#include <doctest/doctest.h>

#include "property.hpp"
#include "random_settings.hpp"

using namespace ovenproof;
using namespace ovenproof::settings;

namespace {

constexpr float not_a_number = std::numeric_limits<float>::quiet_NaN();
constexpr float infinity = std::numeric_limits<float>::infinity();

/// Settings that break exactly one rule.
struct Breach {
  Rule rule;
  void (*make)(Settings&);
};

constexpr std::array<Breach, rule_count> breaches{{
    {Rule::gate_below_hold_limit,
     [](Settings& s) {
       s.purge.gate = Ppm{440.0F};  // + 10 = 500 - 50
     }},
    {Rule::process_below_purge_flow,
     [](Settings& s) { s.purge.process_flow = s.purge.purge_flow; }},
    {Rule::enough_volumes_without_monitor,
     [](Settings& s) {
       s.options.oxygen_sensor = OxygenSensor::none;
       s.purge.minimum_volumes = 7.9F;
     }},
    {Rule::purge_fits_timeout,
     [](Settings& s) {
       s.purge.timeout = Milliseconds{5 * 160 * 600 + 30'000};  // exactly what it takes
     }},
    {Rule::target_below_high_limit,
     [](Settings& s) {
       s.programme.segment_count = 2;
       s.programme.segments[1].target = Celsius{585.5F};
     }},
    {Rule::range_above_high_limit,
     [](Settings& s) { s.temperature.range_high = s.temperature.high_limit; }},
    {Rule::target_above_unload,
     [](Settings& s) { s.programme.segments[0].target = Celsius{60.0F}; }},
    {Rule::heating_fits_timeout,
     [](Settings& s) {
       s.programme.heating_timeout = Milliseconds{33 * 60'000 + 3'600'000};  // 330 K at 10 K/min
     }},
    {Rule::warm_up_fits_maximum,
     [](Settings& s) { s.oxygen.cell_settle = s.oxygen.warm_up_maximum; }},
    {Rule::transmitter_log_positive,
     [](Settings& s) {
       s.options.oxygen_sensor = OxygenSensor::transmitter;
       s.oxygen.transmitter_low = Ppm{0.0F};
     }},
    {Rule::transmitter_includes_air,
     [](Settings& s) {
       s.options.oxygen_sensor = OxygenSensor::transmitter;
       s.oxygen.transmitter_high = Ppm{209'499.0F};
     }},
    {Rule::transmitter_resolves_gate,
     [](Settings& s) {
       s.options.oxygen_sensor = OxygenSensor::transmitter;
       s.oxygen.transmitter_low = s.purge.gate;
     }},
    {Rule::cell_resolves_gate,
     [](Settings& s) {
       s.purge.gate = Ppm{50.0F};
       s.oxygen.cell_range_low = Ppm{50.0F};
     }},
    {Rule::door_start_needs_two_contacts,
     [](Settings& s) {
       s.options.start_by_door = true;
       s.options.door_contacts = 1;
     }},
    {Rule::discrepancy_beyond_debounce,
     [](Settings& s) { s.contacts.door_discrepancy = s.contacts.door_close_debounce; }},
    {Rule::overrun_beyond_period, [](Settings& s) { s.scan.overrun_limit = s.scan.period; }},
    {Rule::jump_beyond_overrun, [](Settings& s) { s.scan.clock_jump = s.scan.overrun_limit; }},
    {Rule::filter_below_derivative,
     [](Settings& s) { s.control.derivative_filter = Milliseconds{1'499}; }},
    {Rule::no_rise_below_max_drive,
     [](Settings& s) { s.control.max_drive_permille = s.temperature.no_rise_drive_permille - 1; }},
}};

}  // namespace

TEST_CASE("the defaults are valid") { CHECK(validate(Settings{}).empty()); }

TEST_CASE("each contradiction is found, alone, by its own rule") {
  for (std::size_t i = 0; i < breaches.size(); ++i) {
    CAPTURE(i);
    REQUIRE(breaches[i].rule == static_cast<Rule>(i));
    Settings settings;
    breaches[i].make(settings);
    const Violations found = validate(settings);
    REQUIRE(found.size() == 1);
    CHECK(found[0].problem == Violation::Problem::contradiction);
    CHECK(found[0].rule == breaches[i].rule);
    CHECK(found[0].setting != found[0].other);
    CHECK(found[0].expected.find(table[found[0].setting].key) != std::string_view::npos);
  }
}

TEST_CASE("a value one step beyond its range is found, for every setting and both ends") {
  for (std::size_t i = 0; i < table.size(); ++i) {
    CAPTURE(table[i].key);
    const auto refused = [&](Value value) {
      Settings settings;
      table[i].set(settings, value);
      const Violations found = validate(settings);
      return found.size() == 1 && found[0] == out_of_range(i);
    };
    if (table[i].kind == Kind::boolean) continue;  // holds no other value
    if (table[i].kind == Kind::number) {
      const auto beyond = [](Value end, float towards) {
        return Value::number(std::nextafter(end.as_number(), towards));
      };
      CHECK(refused(beyond(table[i].maximum, infinity)));
      CHECK(refused(beyond(table[i].minimum, -infinity)));
      CHECK(refused(Value::number(infinity)));
      CHECK(refused(Value::number(-infinity)));
      CHECK(refused(Value::number(not_a_number)));
    } else {
      CHECK(refused({table[i].kind, table[i].maximum.bits + 1}));
      if (table[i].minimum.bits > 0) CHECK(refused({table[i].kind, table[i].minimum.bits - 1}));
    }
  }
}

TEST_CASE("all violations are reported at once") {
  Settings settings;
  settings.purge.gate = Ppm{not_a_number};
  settings.purge.process_flow = LitresPerMinute{200.0F};
  settings.control.max_drive_permille = 0;
  settings.scan.overrun_limit = Milliseconds{10};
  const Violations found = validate(settings);
  REQUIRE(found.size() == 4);
  CHECK(found[0] == out_of_range(index_of("purge.gate")));
  CHECK(found[1] == out_of_range(index_of("control.max_drive")));
  CHECK(found[2].rule == Rule::process_below_purge_flow);
  CHECK(found[3].rule == Rule::overrun_beyond_period);
}

TEST_CASE("the highest target counts, wherever in the programme it stands") {
  for (std::size_t hottest = 0; hottest < 3; ++hottest) {
    Settings settings;
    settings.programme.segment_count = 3;
    settings.programme.segments[hottest].target = Celsius{590.0F};
    const Violations found = validate(settings);
    REQUIRE(found.size() == 1);
    CHECK(found[0].rule == Rule::target_below_high_limit);
  }
}

TEST_CASE("a segment out of range is reported alone, not compared with other settings") {
  Settings settings;
  settings.programme.segments[0].target = Celsius{infinity};
  const Violations found = validate(settings);
  REQUIRE(found.size() == 1);
  CHECK(found[0] == out_of_range(index_of("programme.segment_1.target")));
}

TEST_CASE("every setting and every rule broken at once still all fit into the list") {
  Violations list;
  for (std::size_t i = 0; i < setting_count + rule_count; ++i) list.add(out_of_range(0));
  CHECK(list.size() == setting_count + rule_count);
}

TEST_CASE("parts the oven does not have contradict nothing") {
  Settings settings;
  settings.programme.segments[7].target = Celsius{1'000.0F};  // not in use
  settings.oxygen.transmitter_high = Ppm{1.0F};
  CHECK(validate(settings).empty());

  settings.options.oxygen_sensor = OxygenSensor::none;
  settings.purge.minimum_volumes = 8.0F;
  settings.purge.gate = settings.purge.hold_limit;
  settings.oxygen.cell_settle = settings.oxygen.warm_up_maximum;
  CHECK(validate(settings).empty());

  settings.options.door_contacts = 1;
  settings.contacts.door_discrepancy = settings.contacts.door_close_debounce;
  settings.control.derivative_time = Milliseconds{0};
  CHECK(validate(settings).empty());
}

TEST_CASE("any bits at all are judged, and no setting out of range is overlooked") {
  test::check_property(0x5E771, [] {
    Settings settings;
    std::size_t beyond = 0;
    for (const Descriptor& entry : table) {
      if (entry.kind == Kind::boolean) continue;
      const auto bits = *rc::gen::arbitrary<std::uint32_t>();
      // A choice is stored in a byte.
      entry.set(settings, {entry.kind, entry.kind == Kind::choice ? bits & 0xFFU : bits});
      if (!in_range(entry, entry.get(settings))) ++beyond;
    }
    const Violations found = validate(settings);
    std::size_t reported = 0;
    for (const Violation& violation : found)
      if (violation.problem == Violation::Problem::out_of_range) ++reported;
    RC_ASSERT(reported == beyond);
    RC_ASSERT(beyond > 50U);
  });
}
