#include "sim/safety/iec_61508.hpp"

namespace ovenproof::safety {

namespace {

double undetected_per_h(const Channels& c) { return (1.0 - c.coverage) * c.dangerous_per_h; }
double detected_per_h(const Channels& c) { return c.coverage * c.dangerous_per_h; }

/// Failures of one channel that leave the other whole.
double independent_per_h(const Channels& c) {
  return (1.0 - c.beta_detected) * detected_per_h(c) + (1.0 - c.beta) * undetected_per_h(c);
}

/// Mean down time when an undetected failure waits for the proof test `share` of its interval.
double down_time_h(const Channels& c, double share) {
  return (1.0 - c.coverage) * (c.proof_test_h * share + c.repair_h) + c.coverage * c.repair_h;
}

}  // namespace

double pfh_1oo1_per_h(const Channels& c) { return undetected_per_h(c); }

double pfh_1oo2_per_h(const Channels& c) {
  return 2.0 * independent_per_h(c) * (1.0 - c.beta) * undetected_per_h(c) *
             down_time_h(c, 1.0 / 2.0) +
         c.beta * undetected_per_h(c);
}

double pfd_1oo1(const Channels& c) { return c.dangerous_per_h * down_time_h(c, 1.0 / 2.0); }

double pfd_1oo2(const Channels& c) {
  const double q = independent_per_h(c);
  return 2.0 * q * q * down_time_h(c, 1.0 / 2.0) * down_time_h(c, 1.0 / 3.0) +
         c.beta_detected * detected_per_h(c) * c.repair_h +
         c.beta * undetected_per_h(c) * (c.proof_test_h / 2.0 + c.repair_h);
}

}  // namespace ovenproof::safety
