#include "firmware/conditioning/oven_temperature.hpp"

#include <initializer_list>

#include <doctest/doctest.h>

#include "property.hpp"

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds conversion{100};
constexpr OvenTemperatureLimits two{.sensors = 2,
                                    .disagreement = Kelvins(25.0F),
                                    .disagreement_time = Milliseconds(1000),
                                    .rate_window = Milliseconds(10'000),
                                    .max_rise = Kelvins(60.0F),
                                    .max_fall = Kelvins(250.0F)};
constexpr OvenTemperatureLimits one{.sensors = 1,
                                    .disagreement = Kelvins(25.0F),
                                    .disagreement_time = Milliseconds(1000),
                                    .rate_window = Milliseconds(10'000),
                                    .max_rise = Kelvins(60.0F),
                                    .max_fall = Kelvins(250.0F)};
constexpr Reading<Celsius> open_circuit{Celsius(0.0F), Reason::open_circuit};

Reading<Celsius> at(float degC) { return {Celsius(degC), Reason::none}; }

void feed(OvenTemperature& oven, const Reading<Celsius>& a, const Reading<Celsius>& b,
          int conversions = 1, bool door_closed = false) {
  for (int i = 0; i < conversions; ++i) oven.update(a, b, door_closed, conversion, two);
}

}  // namespace

TEST_CASE("the oven's temperature is the higher of two thermocouples") {
  OvenTemperature oven;
  feed(oven, at(100.0F), at(120.0F));
  CHECK(oven.reading() == at(120.0F));
  feed(oven, at(121.0F), at(120.0F));
  CHECK(oven.reading() == at(121.0F));
}

TEST_CASE("one failed thermocouple of two makes the temperature invalid, with its reason") {
  OvenTemperature oven;
  feed(oven, {Celsius(7.0F), Reason::open_circuit}, {Celsius(9.0F), Reason::under_range});
  CHECK(oven.reading() == Reading<Celsius>{Celsius(7.0F), Reason::open_circuit});
  feed(oven, open_circuit, at(120.0F));
  CHECK(oven.reading() == Reading<Celsius>{Celsius(120.0F), Reason::open_circuit});
  feed(oven, at(100.0F), {Celsius(0.0F), Reason::under_range});
  CHECK(oven.reading() == Reading<Celsius>{Celsius(100.0F), Reason::under_range});
  feed(oven, open_circuit, {Celsius(0.0F), Reason::under_range});
  CHECK(oven.reading().reason == Reason::open_circuit);
}

TEST_CASE("an oven with one thermocouple ignores the second") {
  OvenTemperature oven;
  for (int i = 0; i < 100; ++i) oven.update(at(100.0F), open_circuit, true, conversion, one);
  CHECK(oven.reading() == at(100.0F));
  for (int i = 0; i < 100; ++i) oven.update(at(100.0F), at(900.0F), true, conversion, one);
  CHECK(oven.reading() == at(100.0F));
  CHECK_FALSE(oven.disagree());
  CHECK_FALSE(oven.rate_implausible());
}

TEST_CASE("two thermocouples disagree after differing beyond the limit for the time") {
  OvenTemperature oven;
  feed(oven, at(100.0F), at(125.0F), 100);
  CHECK_FALSE(oven.disagree());
  feed(oven, at(100.0F), at(126.0F), 10);
  CHECK_FALSE(oven.disagree());
  feed(oven, at(100.0F), at(100.0F));
  feed(oven, at(126.0F), at(100.0F), 10);
  CHECK_FALSE(oven.disagree());  // the time began anew
  feed(oven, at(126.0F), at(100.0F));
  CHECK(oven.disagree());
  CHECK(oven.reading().valid());  // a fact of its own
  feed(oven, open_circuit, at(100.0F));
  CHECK(oven.disagree());
  feed(oven, at(100.0F), at(100.0F));
  CHECK_FALSE(oven.disagree());
}

TEST_CASE("a thermocouple that jumps is implausible at once, rising or falling") {
  for (const float jump : {61.0F, -251.0F}) {
    OvenTemperature oven;
    feed(oven, at(500.0F), at(500.0F), 50);
    CHECK_FALSE(oven.rate_implausible());
    feed(oven, at(500.0F), at(500.0F + jump));
    CHECK(oven.rate_implausible());
  }
}

TEST_CASE("behind a door that stays closed a fall that an opened door allows is implausible") {
  for (const bool closed : {true, false}) {
    OvenTemperature oven;
    feed(oven, at(300.0F), at(300.0F), 150, closed);
    feed(oven, at(300.0F), at(269.0F), 1, closed);
    CHECK(oven.rate_implausible() == closed);
  }
}

TEST_CASE("a fall begun behind an open door is judged by the open door's limit for the window") {
  OvenTemperature oven;
  feed(oven, at(300.0F), at(300.0F), 150, true);
  feed(oven, at(300.0F), at(300.0F), 1, false);  // opened for a moment
  feed(oven, at(200.0F), at(200.0F), 1, true);
  CHECK_FALSE(oven.rate_implausible());
}

TEST_CASE("a rate that no oven can have stays implausible until it is acknowledged") {
  OvenTemperature oven;
  feed(oven, at(500.0F), at(500.0F), 50);
  feed(oven, at(600.0F), at(600.0F));
  feed(oven, at(600.0F), at(600.0F), 1000);
  CHECK(oven.rate_implausible());
  oven.acknowledge();
  feed(oven, at(600.0F), at(600.0F), 200);
  CHECK_FALSE(oven.rate_implausible());
}

TEST_CASE("a thermocouple that comes back elsewhere after a break is judged from there") {
  OvenTemperature oven;
  feed(oven, at(20.0F), at(20.0F), 50);
  feed(oven, open_circuit, at(20.0F), 50);
  feed(oven, at(400.0F), at(20.0F), 50);
  CHECK_FALSE(oven.rate_implausible());
}

TEST_CASE("no steady rate within the limits is implausible and any of twice the limit is") {
  test::check_property(0x5eed05, [] {
    const float up = static_cast<float>(*rc::gen::inRange(-250, 61));  // K in a window
    const int lead = *rc::gen::inRange(1, 200);
    OvenTemperature lawful;
    OvenTemperature unlawful;
    for (int i = 0; i < lead; ++i) {
      feed(lawful, at(300.0F), at(300.0F));
      feed(unlawful, at(300.0F), at(300.0F));
    }
    for (int i = 1; i <= 400; ++i) {
      const float windows = static_cast<float>(i) / 100.0F;
      feed(lawful, at(300.0F + 0.999F * up * windows), at(300.0F));
      feed(unlawful, at(300.0F), at(300.0F + 2.1F * (up >= 0.0F ? 60.0F : -250.0F) * windows));
      RC_ASSERT(!lawful.rate_implausible());
    }
    RC_ASSERT(unlawful.rate_implausible());
  });
}
