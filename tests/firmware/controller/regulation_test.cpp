#include "firmware/controller/regulation.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include "bench.hpp"

/// Setpoint, controller and drive as they are put together: readings that come every tenth scan,
/// and a logic that permits heat or does not.
using namespace ovenproof;
using namespace ovenproof::controller::testing;
using logic::Output;
using logic::OutputSet;

namespace {

/// To 200 degC at once, and no faster than by the integral.
settings::Settings integral_only() {
  settings::Settings s = quick_settings();
  s.programme.segment_count = 2;
  s.programme.ramp_lag_limit = Kelvins(0.0F);
  for (settings::Segment& each : s.programme.segments) {
    each = {Celsius(60.0F), 20.0F, Milliseconds(600'000)};
  }
  s.control.gain_per_K = 0.02F;
  s.control.integral_time = Milliseconds(600'000);
  s.control.derivative_time = Milliseconds(0);
  s.control.drive_rate_permille_per_s = 1'000;
  return s;
}

/// A chamber that stands at 20 degC unless a test moves it.
struct Oven : InstrumentBench {
  explicit Oven(const settings::Settings& settings) : InstrumentBench(settings) {
    run(1.0);  // the first reading
  }

  void run(double seconds) {
    const long scans = std::lround(seconds * 100.0);
    for (long n = 0; n < scans; ++n) {
      const auto evaluated = scan(commands.outputs, Fraction());
      regulation.update(commands, instruments, Milliseconds(10), evaluated, configuration);
      regulation.tell(facts, configuration);
    }
  }
  void permit_heat(bool on) {
    commands.outputs = on ? OutputSet(Output::k1, Output::k2, Output::heater_drive) : OutputSet();
  }
  [[nodiscard]] double drive() const { return regulation.drive().applied().value; }

  controller::Regulation regulation;
  logic::Commands commands;
};

/// The setpoint has arrived, 40 K above the chamber, and no heat was permitted meanwhile.
Oven with_setpoint_ahead(const settings::Settings& settings = integral_only()) {
  Oven oven(settings);
  oven.commands.phase = Phase::ramp;
  oven.run(130.0);
  REQUIRE(oven.regulation.programme().setpoint() == Celsius(60.0F));
  REQUIRE(oven.drive() == 0.0);
  return oven;
}

}  // namespace

TEST_CASE("the drive grows from nothing as gain, error and integral time say") {
  // du/dt = K e / Ti = 0.02 / K * 40 K / 600 s; the ISA standard form of a PI controller, bumpless.
  Oven oven = with_setpoint_ahead();
  oven.permit_heat(true);
  for (const double seconds : {60.0, 120.0, 300.0}) {
    Oven started = oven;
    started.run(seconds);
    CHECK(started.drive() == doctest::Approx(0.02 * 40.0 / 600.0 * seconds).epsilon(0.02));
  }
}

TEST_CASE("error that has stood while no heat was permitted, or none was due, drives nothing") {
  Oven withheld = with_setpoint_ahead();
  withheld.run(3'600.0);
  withheld.permit_heat(true);
  withheld.run(1.0);
  CHECK(withheld.drive() < 0.01);

  Oven idle(integral_only());
  idle.permit_heat(true);
  idle.run(3'600.0);  // neither ramp nor soak: there is no setpoint
  CHECK(idle.drive() == 0.0);
  idle.commands.phase = Phase::ramp;
  idle.run(1.0);
  CHECK(idle.drive() < 0.01);
}

TEST_CASE("heat that is withdrawn and permitted again starts from nothing, at once") {
  Oven oven = with_setpoint_ahead();
  oven.permit_heat(true);
  oven.run(300.0);
  REQUIRE(oven.drive() > 0.3);
  oven.permit_heat(false);
  oven.run(0.01);
  CHECK(oven.drive() == 0.0);
  oven.permit_heat(true);
  oven.run(1.0);
  CHECK(oven.drive() < 0.01);
}

TEST_CASE("a drive that stood at its limit leaves it at once when the temperature has passed") {
  settings::Settings s = integral_only();
  s.control.max_drive_permille = 300;  // the controller does not see this limit but is told of it
  Oven oven = with_setpoint_ahead(s);
  oven.permit_heat(true);
  oven.run(7'200.0);
  CHECK(oven.drive() == doctest::Approx(0.3).epsilon(1e-3));
  // Back-calculation with Tt = Ti settles where (v - u)/Tt = K e/Ti, so the integral at u itself:
  // 0.3. Ten kelvins above the setpoint leave 0.3 - 0.02 / K * 10 K; without it, it stood at 9.6.
  oven.thermocouples(2.644 - 0.798 + 0.206);  // type K by ITS-90: some 70 degC
  oven.run(5.0);
  CHECK(oven.drive() == doctest::Approx(0.1).epsilon(0.05));
}

TEST_CASE("the programme hears of ramp, soak, the next segment and a new cycle") {
  Oven oven = with_setpoint_ahead();
  CHECK(oven.facts.get(Fact::ramp_complete));
  CHECK(oven.regulation.programme().soaked() == Milliseconds(0));
  oven.thermocouples(2.436 - 0.798);  // 60 degC
  oven.commands.phase = Phase::soak;
  oven.run(100.0);
  CHECK(oven.regulation.programme().soaked().value == doctest::Approx(100'000).epsilon(0.01));
  oven.commands.programme_advance = true;
  oven.run(0.01);
  oven.commands.programme_advance = false;
  CHECK(oven.regulation.programme().segment() == 1);
  CHECK(oven.regulation.programme().soaked() < Milliseconds(20));
  CHECK(oven.facts.get(Fact::last_segment));
  oven.run(10.0);
  oven.commands.programme_restart = true;
  oven.run(0.01);
  oven.commands.programme_restart = false;
  CHECK(oven.regulation.programme().segment() == 0);
  CHECK(oven.regulation.programme().soaked() == Milliseconds(0));
  CHECK_FALSE(oven.facts.get(Fact::last_segment));
}

TEST_CASE(
    "gas is settled when the estimate has had its time, no sooner by scans between readings") {
  Oven oven(integral_only());  // 20 degC; a filter of 30 s, three times that
  oven.run(80.0);
  CHECK_FALSE(oven.facts.get(Fact::gas_settled));
  oven.run(12.0);
  CHECK(oven.facts.get(Fact::gas_settled));
}
