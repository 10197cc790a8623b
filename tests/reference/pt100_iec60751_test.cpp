#include <cmath>
#include <initializer_list>

#include <doctest/doctest.h>

#include "firmware/conditioning/pt100.hpp"

// Source: IEC 60751, R0 = 100 ohm. The equation's constants as published; the table values to
// 0.01 ohm are from memory: IEC 60751:2008, table 1: check against the standard; the equation
// confirms them.

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

double iec60751_ohm(double t) {
  const double below = t < 0.0 ? -4.183E-12 * (t - 100.0) * t * t * t : 0.0;
  return 100.0 * (1.0 + 3.9083E-3 * t - 5.775E-7 * t * t + below);
}

double firmware_degC(double ohm) { return pt100_temperature(Ohms(static_cast<float>(ohm))).value; }

}  // namespace

TEST_CASE("a Pt100 reads the temperatures of the published resistances") {
  struct Point {
    double degC;
    double ohm;
  };
  for (const Point p : {Point{-40.0, 84.27}, Point{0.0, 100.0}, Point{20.0, 107.79},
                        Point{25.0, 109.73}, Point{50.0, 119.40}, Point{100.0, 138.51}}) {
    CAPTURE(p.degC);
    CHECK(std::fabs(iec60751_ohm(p.degC) - p.ohm) < 0.0051);
    // Half of 0.01 ohm is 0.013 K.
    CHECK(std::fabs(firmware_degC(p.ohm) - p.degC) < 0.02);
  }
}

TEST_CASE("a Pt100 follows the equation within 0.005 K from -60 to 130 degC") {
  double worst = 0.0;
  for (int tenth = -600; tenth <= 1300; ++tenth) {
    const double t = tenth / 10.0;
    worst = std::fmax(worst, std::fabs(firmware_degC(iec60751_ohm(t)) - t));
  }
  CHECK(worst < 0.005);
  CHECK(worst > 0.0005);  // chords: a zero would mean nothing was compared
}
