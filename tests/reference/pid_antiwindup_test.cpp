// The classical demonstration of integrator windup: a PI controller with K = 1, Ti = 1 s on an
// integrator dy/dt = u whose actuator saturates at +-0.1, setpoint step of 1.
//
// Source: K. J. Astrom, T. Hagglund, PID Controllers: Theory, Design, and Tuning, 2nd ed., ISA
// 1995, section 3.5, figures "illustration of integrator windup" and "with anti-windup"
// (from memory: Astrom and Hagglund, PID Controllers, 1995, section 3.5: check against the source):
// without a remedy y overshoots far and swings for a long time; with tracking it
// overshoots little if at all. Our drive is 0..1, so u = 0.2 (drive - 0.5) and K = 5 per unit of y.

#include <algorithm>
#include <cmath>

#include <doctest/doctest.h>

#include "firmware/control/heater_drive.hpp"
#include "firmware/control/pid.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr Milliseconds scan{10};
constexpr double dt = 0.01;

struct Response {
  double overshoot = 0.0;  ///< beyond the setpoint, share of the step
  double settled_s = 0.0;  ///< when it was last further than 5 % from the setpoint
};

void judge(Response& response, double y, double t) {
  response.overshoot = std::max(response.overshoot, y - 1.0);
  if (std::abs(y - 1.0) > 0.05) response.settled_s = t;
}

/// The textbook controller without remedy, in double precision, independent of the firmware.
Response without_anti_windup() {
  Response response;
  double y = 0.0;
  double integral = 0.0;
  for (int i = 0; i < 20'000; ++i) {
    const double error = 1.0 - y;
    integral += error * dt;
    y += std::clamp(error + integral, -0.1, 0.1) * dt;
    judge(response, y, i * dt);
  }
  return response;
}

settings::Control tuning() {
  settings::Control control;
  control.gain_per_K = 5.0F;
  control.integral_time = Milliseconds{1'000};
  control.derivative_time = Milliseconds{0};
  control.drive_rate_permille_per_s = 100'000;
  return control;
}

Response with_firmware() {
  const settings::Control control = tuning();
  Pid pid;
  HeaterDrive drive;
  double y = 0.0;
  const auto step = [&](double setpoint) {
    const Fraction out = pid.update(Celsius{static_cast<float>(setpoint)},
                                    Celsius{static_cast<float>(y)}, true, control, scan);
    drive.update(out, true, control, scan);
    pid.track(drive.applied(), control, scan);
    y += 0.2 * (drive.applied().value - 0.5) * dt;
  };
  for (int i = 0; i < 10'000; ++i) step(0.0);  // to the middle of the drive
  REQUIRE(std::abs(y) < 1e-3);
  Response response;
  for (int i = 0; i < 20'000; ++i) {
    step(1.0);
    judge(response, y, i * dt);
  }
  return response;
}

}  // namespace

TEST_CASE("back-calculation removes the overshoot that windup causes on a saturated integrator") {
  const Response wound = without_anti_windup();
  const Response tracked = with_firmware();
  INFO("without: overshoot " << wound.overshoot << ", settled after " << wound.settled_s << " s");
  INFO("with: overshoot " << tracked.overshoot << ", settled after " << tracked.settled_s << " s");
  CHECK(wound.overshoot > 0.4);
  CHECK(tracked.overshoot < 0.1);
  CHECK(tracked.settled_s < 0.5 * wound.settled_s);
  // Full drive from 0 to 1 takes 10 s; nothing can be faster.
  CHECK(tracked.settled_s > 9.0);
  CHECK(tracked.settled_s < 15.0);
}
