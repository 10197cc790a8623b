#include "firmware/control/pid.hpp"

#include <cmath>
#include <cstring>
#include <limits>

#include <doctest/doctest.h>

#include "firmware/control/heater_drive.hpp"
#include "property.hpp"
#include "random_control.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr Milliseconds scan{10};
constexpr float nan_value = std::numeric_limits<float>::quiet_NaN();
constexpr float infinite = std::numeric_limits<float>::infinity();

/// K = 0.01 per K, Ti = 100 s, no derivative.
settings::Control pi_only() {
  settings::Control c;
  c.gain_per_K = 0.01F;
  c.integral_time = Milliseconds{100'000};
  c.derivative_time = Milliseconds{0};
  c.derivative_filter = Milliseconds{0};
  return c;
}

float step(Pid& pid, float setpoint, float measured, const settings::Control& control,
           bool permitted = true) {
  const Fraction out = pid.update(Celsius{setpoint}, Celsius{measured}, permitted, control, scan);
  pid.track(out, control, scan);
  return out.value;
}

}  // namespace

TEST_CASE("the first permitted scan gives zero, whatever the error") {
  for (const float error : {-300.0F, -1.0F, 0.0F, 1.0F, 300.0F}) {
    Pid pid;
    CHECK(step(pid, 100.0F + error, 100.0F, pi_only()) == 0.0F);
    // And the next moves by one scan's integral only: no bump.
    CHECK(step(pid, 100.0F + error, 100.0F, pi_only()) <= 0.0004F);
  }
}

TEST_CASE("a step of the setpoint gives gain times step at once, then the integral's slope") {
  Pid pid;
  step(pid, 100.0F, 100.0F, pi_only());
  CHECK(step(pid, 120.0F, 100.0F, pi_only()) == doctest::Approx(0.2).epsilon(1e-3));
  float out = 0.0F;
  for (int i = 0; i < 10'000; ++i) out = step(pid, 120.0F, 100.0F, pi_only());
  CHECK(out == doctest::Approx(0.4).epsilon(1e-3));  // after Ti the proportional part again
}

TEST_CASE("a tenth of a kelvin of error is integrated at 10 ms scans") {
  settings::Control slow = pi_only();
  slow.integral_time = Milliseconds{3'600'000};
  Pid pid;
  step(pid, 500.0F, 500.0F, slow);
  for (int i = 0; i < 60'000; ++i) step(pid, 550.0F, 500.0F, slow);  // brings the sum to 0.083
  const float start = pid.integral();
  for (int i = 0; i < 360'000; ++i) step(pid, 500.125F, 500.0F, slow);
  CHECK(start == doctest::Approx(1.0 / 12.0).epsilon(1e-3));
  CHECK(pid.integral() - start == doctest::Approx(0.00125).epsilon(1e-2));
}

TEST_CASE("without permission the output is zero at once and nothing winds up") {
  Pid pid;
  step(pid, 100.0F, 100.0F, pi_only());
  for (int i = 0; i < 1'000; ++i) step(pid, 150.0F, 100.0F, pi_only());
  for (int i = 0; i < 100'000; ++i) CHECK(step(pid, 150.0F, 100.0F, pi_only(), false) == 0.0F);
  CHECK(pid == Pid{});
  CHECK(step(pid, 150.0F, 100.0F, pi_only()) == 0.0F);
}

TEST_CASE("an input that is no number gives zero at once") {
  for (const float bad : {nan_value, infinite, -infinite}) {
    Pid pid;
    step(pid, 100.0F, 100.0F, pi_only());
    CHECK(step(pid, 150.0F, 100.0F, pi_only()) > 0.4F);
    CHECK(step(pid, bad, 100.0F, pi_only()) == 0.0F);
    step(pid, 100.0F, 100.0F, pi_only());
    CHECK(step(pid, 150.0F, 100.0F, pi_only()) > 0.4F);
    CHECK(step(pid, 150.0F, bad, pi_only()) == 0.0F);
  }
}

TEST_CASE("a moved setpoint does not kick the derivative, a falling measurement does") {
  settings::Control pid_control = pi_only();
  pid_control.gain_per_K = 0.001F;
  pid_control.derivative_time = Milliseconds{20'000};
  pid_control.derivative_filter = Milliseconds{2'000};
  Pid with;
  Pid without;
  settings::Control p_only = pid_control;
  p_only.derivative_time = Milliseconds{0};
  step(with, 100.0F, 100.0F, pid_control);
  step(without, 100.0F, 100.0F, p_only);
  CHECK(step(with, 200.0F, 100.0F, pid_control) == step(without, 200.0F, 100.0F, p_only));

  Pid falling;
  step(falling, 100.0F, 100.0F, pid_control);
  // A drop by 1 K adds K Td / (Tf + dt) = 0.001 * 20 / 2.01 to K e = 0.001.
  CHECK(step(falling, 100.0F, 99.0F, pid_control) ==
        doctest::Approx(0.001 + 0.02 / 2.01).epsilon(1e-3));
}

TEST_CASE("what the drive cannot give does not wind the integral up") {
  const settings::Control control = pi_only();
  Pid pid;
  pid.update(Celsius{100.0F}, Celsius{100.0F}, true, control, scan);
  for (int i = 0; i < 1'000'000; ++i) {
    pid.update(Celsius{150.0F}, Celsius{100.0F}, true, control, scan);
    pid.track(Fraction{0.3F}, control, scan);  // the drive is limited to 30 %
  }
  // In balance e K / Ti = (v - 0.3) / Ti: v = 0.8, of which 0.5 is proportional.
  CHECK(pid.integral() == doctest::Approx(0.3).epsilon(1e-3));
}

TEST_CASE("a step longer than the tracking time brings the integral home, not beyond") {
  settings::Control control = pi_only();
  control.integral_time = Milliseconds{1'000};
  Pid pid;
  pid.update(Celsius{100.0F}, Celsius{100.0F}, true, control, scan);
  const Milliseconds late{10'000};
  pid.update(Celsius{110.0F}, Celsius{100.0F}, true, control, late);  // v = 0.1 + 1.0
  pid.track(Fraction{0.0F}, control, late);
  CHECK(pid.integral() == doctest::Approx(-0.1));  // v = 0, as applied
}

TEST_CASE("with a derivative the tracking time is the mean of integral and derivative time") {
  settings::Control control = pi_only();  // Ti = 100 s
  control.derivative_time = Milliseconds{20'000};
  control.derivative_filter = Milliseconds{2'000};
  Pid pid;
  pid.update(Celsius{100.0F}, Celsius{100.0F}, true, control, scan);
  pid.update(Celsius{150.0F}, Celsius{100.0F}, true, control, scan);
  const float before = pid.integral();
  pid.track(Fraction{0.0F}, control, Milliseconds{6'000});
  CHECK(pid.integral() - before == doctest::Approx(-0.5 * 6.0 / 60.0).epsilon(1e-3));
}

TEST_CASE("a controller at rest has nothing to track") {
  Pid pid;
  pid.track(Fraction{1.0F}, pi_only(), scan);
  CHECK(pid == Pid{});
}

TEST_CASE("a drive that follows without limit leaves the controller alone") {
  settings::Control control = pi_only();
  control.drive_rate_permille_per_s = 100'000;
  Pid plain;
  Pid driven;
  HeaterDrive drive;
  for (int i = 0; i < 20'000; ++i) {
    const float setpoint = i == 0 ? 100.0F : 130.0F;
    const float measured = 100.0F + static_cast<float>(i) / 1'000.0F;
    const float expected = step(plain, setpoint, measured, control);
    const Fraction out = driven.update(Celsius{setpoint}, Celsius{measured}, true, control, scan);
    drive.update(out, true, control, scan);
    driven.track(drive.applied(), control, scan);
    REQUIRE(out.value == doctest::Approx(expected).epsilon(1e-5));
  }
}

TEST_CASE("the output is within 0..1 and never NaN, for any input whatever") {
  test::check_property(
      0x91D,
      [] {
        const settings::Control control = random_control();
        Pid pid;
        const auto any = [] {
          const auto bits = *rc::gen::arbitrary<std::uint32_t>();
          float value = 0.0F;
          std::memcpy(&value, &bits, sizeof value);
          return value;
        };
        const auto input = [&] {
          switch (*rc::gen::inRange(0, 4)) {
            case 0:
              return any();
            case 1:
              return *rc::gen::element(std::numeric_limits<float>::max(),
                                       std::numeric_limits<float>::lowest(), infinite, nan_value,
                                       std::numeric_limits<float>::denorm_min());
            default:
              return static_cast<float>(*rc::gen::inRange(-1'000, 10'000)) / 10.0F;
          }
        };
        for (int i = 0; i < 100; ++i) {
          const Milliseconds dt{*rc::gen::element<std::uint32_t>(0, 1, 10, 1'000, UINT32_MAX)};
          const bool permitted = *rc::gen::inRange(0, 10) != 0;
          const float out =
              pid.update(Celsius{input()}, Celsius{input()}, permitted, control, dt).value;
          RC_ASSERT(out >= 0.0F);
          RC_ASSERT(out <= 1.0F);
          pid.track(Fraction{input()}, control, dt);
          RC_ASSERT(finite(pid.integral()));
        }
        // And whatever was done to it, it regulates again at once after a scan without permission.
        pid.update(Celsius{0.0F}, Celsius{0.0F}, false, control, scan);
        step(pid, 100.0F, 100.0F, control);
        RC_ASSERT(step(pid, 5'000.0F, 100.0F, control) > 0.0F);
        RC_ASSERT(step(pid, -4'000.0F, 100.0F, control) == 0.0F);
      },
      500);
}
