#include "sim/properties/monitor.hpp"

#include <stdexcept>
#include <vector>

#include <doctest/doctest.h>

#include "monitored.hpp"

namespace ovenproof::properties {
namespace {

using test::property_of;

std::vector<double> row(bool p, bool q) { return {double(p), double(q)}; }

TEST_CASE("A run of no scans decides nothing") {
  for (const char* text : {"always p", "eventually p", "at_end p", "at_start p", "p until q",
                           "within 1 s after p: q", "always for 1 s p"}) {
    CAPTURE(text);
    Monitor monitor(property_of(text, test::boolean_table()));
    CHECK(monitor.finish().outcome == Outcome::undecided);
    CHECK_FALSE(monitor.standing().has_value());
  }
}

TEST_CASE("A step tells when a property becomes violated, once") {
  const std::vector<Property> properties{
      property_of("never p", test::boolean_table()),
      property_of("within 20 ms after q: p", test::boolean_table())};
  MonitorSet monitor(properties);
  CHECK_FALSE(monitor.step(row(false, false)));
  CHECK_FALSE(monitor.step(row(false, true)));
  CHECK_FALSE(monitor.step(row(false, true)));
  CHECK_FALSE(monitor.standing(1).has_value());
  CHECK(monitor.step(row(false, true)));  // 20 ms are over
  CHECK(monitor.standing(1) == Outcome::violated);
  CHECK_FALSE(monitor.standing(0).has_value());
  CHECK(monitor.step(row(true, true)));
  CHECK(monitor.standing(0) == Outcome::violated);
  CHECK_FALSE(monitor.step(row(true, true)));
  CHECK(monitor.scans() == 6);
  CHECK(monitor.size() == 2);
}

TEST_CASE("A property that is violated again is not told again") {
  Monitor monitor(property_of("never p", test::boolean_table()));
  int told = 0;
  for (const bool p : {false, true, false, true, true, false, true})
    told += monitor.step(row(p, false));
  CHECK(told == 1);
}

TEST_CASE("What is settled stays so to the end") {
  Monitor eventually(property_of("eventually p", test::boolean_table()));
  eventually.step(row(false, false));
  CHECK_FALSE(eventually.standing().has_value());
  eventually.step(row(true, false));
  CHECK(eventually.standing() == Outcome::holds);
  Monitor until(property_of("p until q", test::boolean_table()));
  until.step(row(true, false));
  CHECK_FALSE(until.standing().has_value());
  until.step(row(false, false));
  CHECK(until.standing() == Outcome::violated);
  Monitor both(property_of("(eventually p) and never q", test::boolean_table()));
  both.step(row(true, false));
  CHECK_FALSE(both.standing().has_value());
  both.step(row(true, true));
  CHECK(both.standing() == Outcome::violated);
}

TEST_CASE("A copy goes on by itself from where the original stood") {
  Monitor original(property_of("within 50 ms after p: q", test::boolean_table()));
  original.step(row(false, false));
  original.step(row(true, false));
  Monitor copy = original;
  for (int i = 0; i < 3; ++i) original.step(row(true, false));
  copy.step(row(true, true));
  for (int i = 0; i < 8; ++i) original.step(row(true, false));
  CHECK(copy.finish().outcome == Outcome::holds);
  CHECK(copy.finish().margins[0].value == 40.0);
  CHECK(original.finish().outcome == Outcome::violated);
  copy = original;
  CHECK(copy.finish().margins[0].value == original.finish().margins[0].value);
}

TEST_CASE("Asking for verdicts does not disturb the run") {
  Monitor asked(property_of("always p implies eventually within 50 ms q", test::boolean_table()));
  Monitor silent = asked;
  const char p[] = "0100010000001000000";
  const char q[] = "0000010001000000100";
  for (int i = 0; p[i] != 0; ++i) {
    asked.step(row(p[i] == '1', q[i] == '1'));
    silent.step(row(p[i] == '1', q[i] == '1'));
    (void)asked.finish();
  }
  CHECK(asked.finish().outcome == silent.finish().outcome);
  CHECK(asked.finish().margins[0].value == silent.finish().margins[0].value);
}

TEST_CASE("Rows and properties that do not fit are refused") {
  Monitor monitor(property_of("always p", test::boolean_table()));
  CHECK_THROWS_AS(monitor.step(std::vector<double>{1.0}), std::invalid_argument);
  CHECK_THROWS_AS(monitor.step(std::vector<double>{1.0, 0.0, 0.0}), std::invalid_argument);
  const std::vector<Property> mixed{property_of("always p", test::boolean_table()),
                                    property_of("always fan.on")};
  CHECK_THROWS_AS(MonitorSet{mixed}, std::invalid_argument);
  CHECK_THROWS_AS((void)compile("always p", test::boolean_table(), std::chrono::nanoseconds(0)),
                  std::invalid_argument);
  const Compiled slower = compile("always p", test::boolean_table(), std::chrono::milliseconds(20));
  const std::vector<Property> paces{property_of("always p", test::boolean_table()),
                                    *slower.property};
  CHECK_THROWS_AS(MonitorSet{paces}, std::invalid_argument);
}

TEST_CASE("A set of no properties can be stepped") {
  MonitorSet none(std::vector<Property>{});
  CHECK_FALSE(none.step({}));
  CHECK(none.finish().empty());
}

TEST_CASE("A verdict is described in one line with margin, instant and place") {
  const Property late = property_of("within 200 ms after door.open: heater.power < 1 W");
  Monitor monitor(late);
  std::vector<double> now = test::idle_row();
  now[7] = 800;
  for (int i = 0; i < 60; ++i) {
    now[0] = i >= 20;
    if (i == 50) now[7] = 0;
    monitor.step(now);
  }
  CHECK(describe(late, monitor.finish()) ==
        "violated; margin -100 ms at 0.200 s by `within 200 ms after door.open: heater.power < 1 "
        "W` (1:1)");
  const Property idle = property_of("always\n  phase = soak implies fan.on");
  Monitor never(idle);
  never.step(test::idle_row());
  CHECK(describe(idle, never.finish()) == "holds (what it speaks of never happened)");
  const Property hot = property_of("always\n  fan.on or temperature.a < limit.chamber");
  Monitor cold(hot);
  cold.step(test::idle_row());
  CHECK(describe(hot, cold.finish()) ==
        "holds; margin 980 K at 0.000 s by `temperature.a < limit.chamber` (2:13)");
}

}  // namespace
}  // namespace ovenproof::properties
