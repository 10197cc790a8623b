#include "firmware/conditioning/over_temperature.hpp"

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr OverTemperatureLimits limits{Celsius(600.0F), Kelvins(10.0F)};

bool feed(OverTemperature& alarm, float degC, Reason reason = Reason::none) {
  alarm.update({Celsius(degC), reason}, limits);
  return alarm.active();
}

}  // namespace

TEST_CASE("over-temperature begins above the limit and ends below its hysteresis") {
  OverTemperature alarm;
  CHECK_FALSE(feed(alarm, 600.0F));
  CHECK(feed(alarm, 600.1F));
  CHECK(feed(alarm, 590.1F));
  CHECK_FALSE(feed(alarm, 590.0F));
  CHECK_FALSE(feed(alarm, 599.9F));
}

TEST_CASE("an invalid temperature neither raises nor ends over-temperature") {
  OverTemperature alarm;
  CHECK_FALSE(feed(alarm, 900.0F, Reason::open_circuit));
  feed(alarm, 601.0F);
  CHECK(feed(alarm, 20.0F, Reason::open_circuit));
}

TEST_CASE("a negative hysteresis cannot hide a temperature above the limit") {
  OverTemperature alarm;
  const OverTemperatureLimits odd{Celsius(600.0F), Kelvins(-50.0F)};
  for (int i = 0; i < 4; ++i) {
    alarm.update({Celsius(620.0F), Reason::none}, odd);
    CHECK(alarm.active());
  }
}
