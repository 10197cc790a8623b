#include <cmath>
#include <initializer_list>

#include <doctest/doctest.h>

#include "firmware/conditioning/oxygen_cell.hpp"

// Sources. The Nernst equation of a zirconia cell, four electrons per O2, with R and F of the SI
// (from memory: CODATA 2018, R and F: check against the source). Simplified forms in use for oxygen
// probes: common practice, no source.

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

double firmware_ppm(double mV, double degC) {
  return nernst_oxygen(Millivolts(static_cast<float>(mV)), Celsius(static_cast<float>(degC))).value;
}

double nernst_mV(double ppm, double degC) {
  constexpr double R = 8.314462618;
  constexpr double F = 96485.33212;
  return 1000.0 * R * (degC + 273.15) / (4.0 * F) * std::log(209'500.0 / ppm);
}

}  // namespace

TEST_CASE("an oxygen cell gives the worked points of the Nernst equation") {
  struct Point {
    double ppm;
    double degC;
    double mV;  // worked by hand to 1 uV, reference air 20.95 %
  };
  for (const Point p :
       {Point{100'000, 700, 15.505}, Point{50'000, 735, 31.117}, Point{20'000, 750, 51.777},
        Point{10'000, 800, 70.332}, Point{5'000, 850, 90.380}, Point{1'000, 750, 117.809},
        Point{100, 700, 160.325}, Point{100, 750, 168.562}, Point{10, 735, 216.101},
        Point{10, 850, 240.752}, Point{1, 750, 270.070}, Point{1, 800, 283.268}}) {
    CAPTURE(p.ppm);
    CAPTURE(p.degC);
    // 0.5 uV of rounding in the point is 0.0026 % of the level.
    CHECK(firmware_ppm(p.mV, p.degC) == doctest::Approx(p.ppm).epsilon(1e-4));
  }
}

TEST_CASE("the same gas on both sides gives air whatever the temperature") {
  for (const double degC : {500.0, 700.0, 750.0, 900.0}) {
    CHECK(firmware_ppm(0.0, degC) == doctest::Approx(209'500.0).epsilon(1e-6));
  }
}

TEST_CASE("an oxygen cell agrees with the equation from 0.1 ppm to air at 600 to 900 degC") {
  double worst = 0.0;
  for (double degC = 600.0; degC <= 900.0; degC += 12.5) {
    for (double ppm = 0.1; ppm < 209'500.0; ppm *= 1.07) {
      const double got = firmware_ppm(nernst_mV(ppm, degC), degC);
      worst = std::fmax(worst, std::fabs(got / ppm - 1.0));
    }
  }
  CHECK(worst < 1e-5);  // float32 in an exponent of up to 15
  CHECK(worst > 1e-9);
}

TEST_CASE("an oxygen cell agrees with the simplified forms in use") {
  for (double degC = 600.0; degC <= 900.0; degC += 25.0) {
    const double kelvin = degC + 273.15;
    for (const double mV : {5.0, 20.0, 66.0, 120.0, 200.0}) {
      // p = 0.209 exp(-46.421 E / T), rescaled to the reference of 20.95 %.
      const double published = 209'500.0 * std::exp(-46.421 * mV / kelvin);
      CHECK(firmware_ppm(mV, degC) == doctest::Approx(published).epsilon(1e-3));
    }
  }
  // E = -50.74 log10(P / P_ref) mV for a cell at 750 degC: a decade.
  CHECK(firmware_ppm(50.74, 750.0) == doctest::Approx(20'950.0).epsilon(1e-3));
  // 1 % is about 66 mV, 10 % about 16 mV,
  // from memory: data sheet of an in situ probe at 736 degC, table of mV: check against the source.
  CHECK(firmware_ppm(66.0, 736.0) == doctest::Approx(10'000.0).epsilon(0.02));
  CHECK(firmware_ppm(16.0, 736.0) == doctest::Approx(100'000.0).epsilon(0.02));
}

TEST_CASE("a cell 10 K cooler than assumed makes 1000 ppm look like 1053 ppm") {
  // From d ln p / dT = ln(p_ref / p) / T: ln(209.5) x 10 / 1023.15 = 5.2 %.
  CHECK(firmware_ppm(nernst_mV(1000.0, 750.0), 760.0) == doctest::Approx(1053.0).epsilon(2e-3));
}
