#include "firmware/conditioning/heat_plausibility.hpp"

#include <initializer_list>

#include <doctest/doctest.h>

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

constexpr Milliseconds second{1000};
constexpr HeatPlausibilityLimits limits{.high_drive = Fraction(0.9F),
                                        .no_rise_time = Milliseconds(300'000),
                                        .min_rise = Kelvins(3.0F),
                                        .grace = Milliseconds(600'000),
                                        .slow_rise_K_per_min = 0.5F,
                                        .max_rise = Kelvins(30.0F),
                                        .max_overshoot = Kelvins(40.0F)};

/// An oven whose temperature moves at a steady rate under steady circumstances.
struct Oven {
  HeatPlausibility check;
  HeatCircumstances now{.drive = Fraction(0.0F), .door_closed = true, .fan_running = true};
  float degC = 100.0F;
  bool no_rise_seen = false;
  bool rise_seen = false;

  void run(int seconds, float K_per_min = 0.0F) {
    for (int i = 0; i < seconds; ++i) {
      degC += K_per_min / 60.0F;
      check.update({Celsius(degC), Reason::none}, now, second, limits);
      no_rise_seen = no_rise_seen || check.no_rise();
      rise_seen = rise_seen || check.rise_without_demand();
    }
  }
};

}  // namespace

TEST_CASE("full drive without a rise of temperature is seen after its time") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(300);
  CHECK_FALSE(oven.check.no_rise());
  oven.run(1);
  CHECK(oven.check.no_rise());
}

TEST_CASE("full drive with a falling temperature is no rise either") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(301, -10.0F);
  CHECK(oven.check.no_rise());
}

TEST_CASE("full drive with an ordinary rise never shows no rise") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(7200, 1.0F);  // 5 K in the time against the 3 K asked for
  CHECK_FALSE(oven.no_rise_seen);
}

TEST_CASE("a soak at part drive is no sign of a fault however long") {
  Oven oven;
  oven.now.drive = Fraction(0.85F);
  oven.run(36'000);
  CHECK_FALSE(oven.no_rise_seen);
}

TEST_CASE("a drive that dips for moments is still high") {
  Oven oven;
  for (int i = 0; i < 100; ++i) {
    oven.now.drive = Fraction(1.0F);
    oven.run(9);
    oven.now.drive = Fraction(0.5F);
    oven.run(1);
  }
  CHECK(oven.no_rise_seen);
}

TEST_CASE("a rise after a fall at part drive is counted from where the high drive began") {
  Oven oven;
  oven.degC = 400.0F;
  oven.now.drive = Fraction(0.3F);
  oven.run(3600, -1.5F);
  oven.now.drive = Fraction(1.0F);
  oven.run(1200, 1.0F);
  CHECK_FALSE(oven.no_rise_seen);
}

TEST_CASE("heat off ends the verdict of no rise and starts its time again") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(301);
  REQUIRE(oven.check.no_rise());
  oven.now.drive = Fraction(0.0F);
  oven.run(1);
  CHECK_FALSE(oven.check.no_rise());
  oven.now.drive = Fraction(1.0F);
  oven.run(300);
  CHECK_FALSE(oven.check.no_rise());
}

TEST_CASE("a temperature that rises with no heat demanded is seen") {
  Oven oven;
  oven.run(600);
  oven.run(15 * 60, 3.0F);  // 45 K against 30 K and 0.5 K/min allowed
  CHECK(oven.check.rise_without_demand());
}

TEST_CASE("the rise is counted from the lowest temperature since heat went off") {
  Oven oven;
  oven.degC = 400.0F;
  oven.run(3600, -3.0F);
  oven.run(12 * 60, 3.0F);  // 36 K up again, still far below where it started
  CHECK(oven.check.rise_without_demand());
}

TEST_CASE("elements giving off heat within the grace raise nothing") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(600, 10.0F);
  oven.now.drive = Fraction(0.0F);
  oven.run(500, 8.0F);
  oven.run(3600, -2.0F);
  CHECK_FALSE(oven.rise_seen);
}

TEST_CASE("a slow evening out of temperatures raises nothing however long") {
  Oven oven;
  oven.run(600);
  oven.run(10 * 3600, 0.45F);
  CHECK(oven.degC > 350.0F);
  CHECK_FALSE(oven.rise_seen);
}

TEST_CASE("while heat is demanded no rise is without demand") {
  Oven oven;
  oven.now.drive = Fraction(0.01F);
  oven.run(7200, 5.0F);
  CHECK_FALSE(oven.rise_seen);
}

TEST_CASE("an opened door, a started fan and stopped cooling each begin the grace again") {
  for (const int which : {0, 1, 2}) {
    Oven oven;
    oven.now.cooling = which == 2;
    oven.run(1200, -1.0F);
    if (which == 0) {
      oven.now.door_closed = false;
      oven.run(1800, 30.0F);  // a hot load moved in
      CHECK_FALSE(oven.rise_seen);
      oven.now.door_closed = true;
    } else if (which == 1) {
      oven.now.fan_running = false;
    } else {
      oven.now.cooling = false;
    }
    oven.run(590, 6.0F);
    CHECK_FALSE(oven.rise_seen);
    oven.run(1200, 6.0F);  // but not for ever
    CHECK(oven.rise_seen);
  }
}

TEST_CASE("an invalid temperature starts both judgements again") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(299);
  oven.check.update({Celsius(0.0F), Reason::open_circuit}, oven.now, second, limits);
  oven.run(299);
  CHECK_FALSE(oven.no_rise_seen);
  Oven idle;
  idle.run(600);
  idle.check.update({Celsius(0.0F), Reason::open_circuit}, idle.now, second, limits);
  idle.run(599, 10.0F);
  CHECK_FALSE(idle.rise_seen);
}

TEST_CASE("a temperature that rises after all ends the verdict of no rise") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(301);
  REQUIRE(oven.check.no_rise());
  oven.run(60, 2.9F);
  CHECK(oven.check.no_rise());
  oven.run(60, 2.9F);
  CHECK_FALSE(oven.check.no_rise());
}

TEST_CASE("part drive pays back the time of high drive") {
  Oven oven;
  for (int i = 0; i < 20; ++i) {
    oven.now.drive = Fraction(1.0F);
    oven.run(100);
    oven.now.drive = Fraction(0.5F);
    oven.run(100);
  }
  CHECK_FALSE(oven.no_rise_seen);
}

TEST_CASE("a drive that dips for a moment does not forget the rise before the dip") {
  Oven oven;
  oven.now.drive = Fraction(1.0F);
  oven.run(150, 0.8F);
  oven.now.drive = Fraction(0.5F);
  oven.run(1, 0.8F);
  oven.now.drive = Fraction(1.0F);
  oven.run(170, 0.8F);  // 4.3 K in all against 3 K; since the dip 2.3 K
  CHECK_FALSE(oven.no_rise_seen);
}

TEST_CASE("what ends the quiet ends the verdict of a rise without demand") {
  for (const int which : {0, 1, 2, 3}) {
    CAPTURE(which);
    Oven oven;
    oven.run(600);
    oven.run(15 * 60, 3.0F);
    REQUIRE(oven.check.rise_without_demand());
    if (which == 0) oven.now.door_closed = false;
    if (which == 1) oven.now.fan_running = false;
    if (which == 2) oven.now.cooling = true;
    if (which == 3) oven.now.drive = Fraction(0.1F);
    oven.run(1);
    CHECK_FALSE(oven.check.rise_without_demand());
  }
}

TEST_CASE("cooling that does not keep the temperature from rising hides nothing") {
  Oven oven;
  oven.now.cooling = true;
  oven.run(600);
  oven.run(15 * 60, 3.0F);
  CHECK(oven.check.rise_without_demand());
}

TEST_CASE("an invalid temperature ends both verdicts") {
  const Reading<Celsius> invalid{Celsius(0.0F), Reason::open_circuit};
  Oven heated;
  heated.now.drive = Fraction(1.0F);
  heated.run(301);
  REQUIRE(heated.check.no_rise());
  heated.check.update(invalid, heated.now, second, limits);
  CHECK_FALSE(heated.check.no_rise());
  Oven idle;
  idle.run(600);
  idle.run(15 * 60, 3.0F);
  REQUIRE(idle.check.rise_without_demand());
  idle.check.update(invalid, idle.now, second, limits);
  CHECK_FALSE(idle.check.rise_without_demand());
}

TEST_CASE("after an invalid temperature the rise is counted from the first valid one") {
  for (const float shown_while_invalid : {100.0F, 500.0F}) {
    Oven oven;
    oven.now.drive = Fraction(1.0F);
    oven.run(100);
    oven.check.update({Celsius(shown_while_invalid), Reason::open_circuit}, oven.now, second,
                      limits);
    oven.degC = 80.0F;
    oven.run(900, 1.0F);
    CHECK_FALSE(oven.no_rise_seen);
  }
}

TEST_CASE("in ramp and soak a rise at zero drive beyond the overshoot needs no grace") {
  for (const bool heating : {true, false}) {
    Oven oven;
    oven.now.heating = heating;
    oven.run(60, -5.0F);
    oven.run(121, 20.0F);  // 40.3 K above the lowest
    CHECK(oven.check.rise_without_demand() == heating);
  }
}

TEST_CASE("any drive ends the stretch in which a rise is overshoot") {
  Oven oven;
  oven.now.heating = true;
  for (int i = 0; i < 20; ++i) {
    oven.now.drive = Fraction(0.0F);
    oven.run(100, 20.0F);
    oven.now.drive = Fraction(0.01F);
    oven.run(1, 20.0F);
  }
  CHECK_FALSE(oven.rise_seen);
}
