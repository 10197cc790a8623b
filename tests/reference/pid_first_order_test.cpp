// The controller on plants whose closed loops have closed forms.
//
// Sources: K. J. Astrom, T. Hagglund, PID Controllers: Theory, Design, and Tuning, 2nd ed., ISA
// 1995 (from memory: Astrom and Hagglund, PID Controllers, 1995, pages unknown: check against the
// source): pole placement of first-order plants under PI control; integrated error after a load
// step = Ti / K. The time functions are rederived beside each test.

#include <cmath>

#include <doctest/doctest.h>

#include "firmware/control/pid.hpp"

using namespace ovenproof;
using namespace ovenproof::control;

namespace {

constexpr Milliseconds scan{10};
constexpr double dt = 0.01;

/// T dy/dt = -y + Kp u, stepped exactly for u held over the scan.
struct FirstOrder {
  double gain;
  double time_s;
  double y;

  void step(double u) {
    const double decay = std::exp(-dt / time_s);
    y = decay * y + (1.0 - decay) * gain * u;
  }
};

settings::Control tuning(float gain_per_K, std::uint32_t integral_ms,
                         std::uint32_t derivative_ms = 0, std::uint32_t filter_ms = 0) {
  settings::Control control;
  control.gain_per_K = gain_per_K;
  control.integral_time = Milliseconds{integral_ms};
  control.derivative_time = Milliseconds{derivative_ms};
  control.derivative_filter = Milliseconds{filter_ms};
  return control;
}

double regulate(Pid& pid, double setpoint, double y, const settings::Control& control) {
  const Fraction out = pid.update(Celsius{static_cast<float>(setpoint)},
                                  Celsius{static_cast<float>(y)}, true, control, scan);
  pid.track(out, control, scan);
  return out.value;
}

}  // namespace

TEST_CASE("PI with Ti = T on a first-order plant: the loop is first-order, y = r (1 - exp(-t/l))") {
  // Ti = T cancels the pole: loop gain K Kp / (T s), closed loop 1 / (l s + 1), l = T / (K Kp);
  // u = (T dy/dt + y) / Kp = r/Kp (1 + (T/l - 1) exp(-t/l)).
  const double plant_gain = 600.0;
  const double time = 900.0;
  const settings::Control control = tuning(0.005F, 900'000);
  const double l = time / (0.005 * plant_gain);
  const double r = 150.0;
  FirstOrder plant{plant_gain, time, 0.0};
  Pid pid;
  regulate(pid, 0.0, 0.0, control);
  double worst_y = 0.0;
  double worst_u = 0.0;
  for (int i = 0; i < 200'000; ++i) {
    const double u = regulate(pid, r, plant.y, control);
    const double decay = std::exp(-(i * dt) / l);
    worst_u = std::max(worst_u, std::abs(u - r / plant_gain * (1.0 + (time / l - 1.0) * decay)));
    plant.step(u);
    worst_y = std::max(worst_y, std::abs(plant.y - r * (1.0 - std::exp(-((i + 1) * dt) / l))));
  }
  // The scan is 1/30,000 of the closed loop's time constant; what is left is float32.
  CHECK(worst_y < 0.02);
  CHECK(worst_u < 1e-4);
}

TEST_CASE("PI on a first-order plant, underdamped: the second-order step response with its zero") {
  // T s^2 + (1 + k) s + k/Ti with k = K Kp: w0^2 = k/(Ti T), 2 z w0 = (1 + k)/T, and with the zero
  // of the controller  y = r (1 - exp(-a t) (cos wd t + (a - k/T)/wd sin wd t)), a = z w0.
  const double plant_gain = 800.0;
  const double time = 1'200.0;
  const double ti = 60.0;
  const settings::Control control = tuning(0.02F, 60'000);
  const double k = 0.02 * plant_gain;
  const double w0 = std::sqrt(k / (ti * time));
  const double a = (1.0 + k) / time / 2.0;
  const double wd = std::sqrt(w0 * w0 - a * a);
  REQUIRE(a / w0 == doctest::Approx(0.475).epsilon(0.01));

  // To the middle of the drive first, so that nothing limits.
  FirstOrder plant{plant_gain, time, 400.0};
  Pid pid;
  for (int i = 0; i < 600'000; ++i) plant.step(regulate(pid, 400.0, plant.y, control));
  REQUIRE(plant.y == doctest::Approx(400.0).epsilon(1e-5));

  const double r = 20.0;
  double worst = 0.0;
  double peak = 0.0;
  for (int i = 0; i < 100'000; ++i) {
    plant.step(regulate(pid, 400.0 + r, plant.y, control));
    const double t = (i + 1) * dt;
    const double expected =
        400.0 +
        r * (1.0 - std::exp(-a * t) * (std::cos(wd * t) + (a - k / time) / wd * std::sin(wd * t)));
    worst = std::max(worst, std::abs(plant.y - expected));
    peak = std::max(peak, plant.y);
  }
  CHECK(peak > 405.0 + r);  // it does overshoot
  CHECK(worst < 0.01);
}

TEST_CASE("after a load step the integrated error is Ti / K times the load, with full PID") {
  // At rest again the integral alone has taken over the load: K/Ti integral(e) = d.
  const settings::Control control = tuning(0.01F, 300'000, 60'000, 6'000);
  FirstOrder elements{1.0, 40.0, 0.5};
  FirstOrder chamber{700.0, 1'500.0, 350.0};
  Pid pid;
  const auto run = [&](double load, double& integrated) {
    for (int i = 0; i < 1'500'000; ++i) {
      integrated += (350.0 - chamber.y) * dt;
      elements.step(regulate(pid, 350.0, chamber.y, control) - load);
      chamber.step(elements.y);
    }
  };
  double ignored = 0.0;
  run(0.0, ignored);
  double integrated = 0.0;
  run(0.1, integrated);
  CHECK(chamber.y == doctest::Approx(350.0).epsilon(1e-5));
  CHECK(integrated == doctest::Approx(0.1 * 300.0 / 0.01).epsilon(0.002));
}

TEST_CASE("derivative on a falling measurement: K Td c (1 - exp(-t/Tf))") {
  // e = 0 throughout, as the setpoint falls with the measurement at c; the filter's step response
  // is all that is left.
  const double c = 0.2;  // K/s
  const settings::Control control = tuning(0.05F, 1'000'000, 40'000, 4'000);
  Pid pid;
  double worst = 0.0;
  for (int i = 0; i < 4'000; ++i) {
    const double y = 500.0 - c * i * dt;
    const double u = regulate(pid, y, y, control);
    worst = std::max(worst, std::abs(u - 0.05 * 40.0 * c * (1.0 - std::exp(-i * dt / 4.0))));
  }
  // Implicit Euler: half a scan late, 0.4 * 0.005 s / 4 s = 0.0005; float32 of y adds K Td/Tf ulp.
  CHECK(worst < 0.001);
}
