#include <array>
#include <cmath>
#include <cstddef>
#include <fstream>
#include <initializer_list>
#include <sstream>
#include <string>
#include <vector>

#include <doctest/doctest.h>

#include "firmware/conditioning/counts.hpp"
#include "firmware/conditioning/pt100.hpp"
#include "firmware/conditioning/thermocouple.hpp"

// Sources. Reference functions of ITS-90: NIST Monograph 175 / NIST Standard Reference Database
// 60, the same as IEC 60584-1. Approximate inverse functions: the same database. Table points:
// data/thermocouple_K.csv and data/thermocouple_N.csv, each line with its source.

using namespace ovenproof;
using namespace ovenproof::conditioning;

namespace {

template <std::size_t N>
double polynomial(const std::array<double, N>& c, double x) {
  double sum = 0.0;
  for (std::size_t i = N; i-- > 0;) sum = sum * x + c[i];
  return sum;
}

double reference_K_mV(double t) {
  static constexpr std::array<double, 10> above{
      -0.176004136860E-01, 0.389212049750E-01,  0.185587700320E-04, -0.994575928740E-07,
      0.318409457190E-09,  -0.560728448890E-12, 0.560750590590E-15, -0.320207200030E-18,
      0.971511471520E-22,  -0.121047212750E-25};
  static constexpr std::array<double, 11> below{0.0,
                                                0.394501280250E-01,
                                                0.236223735980E-04,
                                                -0.328589067840E-06,
                                                -0.499048287770E-08,
                                                -0.675090591730E-10,
                                                -0.574103274280E-12,
                                                -0.310888728940E-14,
                                                -0.104516093650E-16,
                                                -0.198892668780E-19,
                                                -0.163226974860E-22};
  if (t < 0.0) return polynomial(below, t);
  const double d = t - 0.126968600000E+03;
  return polynomial(above, t) + 0.118597600000E+00 * std::exp(-0.118343200000E-03 * d * d);
}

double reference_N_mV(double t) {
  static constexpr std::array<double, 11> above{0.0,
                                                0.259293946010E-01,
                                                0.157101418800E-04,
                                                0.438256272370E-07,
                                                -0.252611697940E-09,
                                                0.643118193390E-12,
                                                -0.100634715190E-14,
                                                0.997453389920E-18,
                                                -0.608632456070E-21,
                                                0.208492293390E-24,
                                                -0.306821961510E-28};
  static constexpr std::array<double, 9> below{0.0,
                                               0.261591059620E-01,
                                               0.109574842280E-04,
                                               -0.938411115540E-07,
                                               -0.464120397590E-10,
                                               -0.263033577160E-11,
                                               -0.226534380030E-13,
                                               -0.760893007910E-16,
                                               -0.934196678350E-19};
  return t < 0.0 ? polynomial(below, t) : polynomial(above, t);
}

double reference_mV(ThermocoupleType type, double t) {
  return type == ThermocoupleType::K ? reference_K_mV(t) : reference_N_mV(t);
}

/// Approximate inverse of type K, 0..1372 degC, error -0.05..0.06 degC by its source.
double published_inverse_K(double mV) {
  static constexpr std::array<double, 10> to_500{
      0.0,           2.508355E+01, 7.860106E-02,  -2.503131E-01, 8.315270E-02,
      -1.228034E-02, 9.804036E-04, -4.413030E-05, 1.057734E-06,  -1.052755E-08};
  static constexpr std::array<double, 7> above_500{-1.318058E+02, 4.830222E+01,  -1.646031E+00,
                                                   5.464731E-02,  -9.650715E-04, 8.802193E-06,
                                                   -3.110810E-08};
  return mV < 20.644 ? polynomial(to_500, mV) : polynomial(above_500, mV);
}

/// Approximate inverse of type N, 0..1300 degC, error -0.04..0.03 degC; the error is
/// from memory: NIST Standard Reference Database 60, inverse of type N: check against the source.
double published_inverse_N(double mV) {
  static constexpr std::array<double, 8> to_600{0.0,         3.86896E+01,  -1.08267E+00,
                                                4.70205E-02, -2.12169E-06, -1.17272E-04,
                                                5.3928E-06,  -7.98156E-08};
  static constexpr std::array<double, 6> above_600{1.972485E+01, 3.300943E+01,  -3.915159E-01,
                                                   9.855391E-03, -1.274371E-04, 7.767022E-07};
  return mV < 20.613 ? polynomial(to_600, mV) : polynomial(above_600, mV);
}

struct Point {
  double degC;
  double mV;
};

std::vector<Point> table(const std::string& file) {
  std::ifstream in(std::string(OVENPROOF_REFERENCE_DATA) + "/" + file);
  std::vector<Point> points;
  std::string line;
  std::getline(in, line);
  CHECK(line.starts_with("t90_degC,emf_mV,"));  // then the source of each value
  while (std::getline(in, line)) {
    std::istringstream fields(line);
    Point p{};
    char comma = 0;
    fields >> p.degC >> comma >> p.mV;
    points.push_back(p);
  }
  return points;
}

const char* file_of(ThermocoupleType type) {
  return type == ThermocoupleType::K ? "thermocouple_K.csv" : "thermocouple_N.csv";
}

constexpr std::initializer_list<ThermocoupleType> both{ThermocoupleType::K, ThermocoupleType::N};

float temperature(ThermocoupleType type, double mV) {
  return thermocouple_temperature(type, Millivolts(static_cast<float>(mV))).value;
}

std::uint16_t count_of(hal::AnalogIn point, double signal) {
  const hal::AnalogSpan span = hal::analog_span(point);
  const double part = (signal - span.at_zero) / (static_cast<double>(span.at_full) - span.at_zero);
  return static_cast<std::uint16_t>(std::lround(part * 65535.0));
}

}  // namespace

TEST_CASE("the reference functions of this test give the published tables to the microvolt") {
  for (const ThermocoupleType type : both) {
    const auto points = table(file_of(type));
    REQUIRE(points.size() == 71);
    for (const Point& p : points) {
      CAPTURE(p.degC);
      CHECK(std::fabs(reference_mV(type, p.degC) - p.mV) < 0.000501);
    }
  }
}

TEST_CASE("the firmware's emf and temperature agree with every published table point") {
  for (const ThermocoupleType type : both) {
    for (const Point& p : table(file_of(type))) {
      CAPTURE(p.degC);
      const float emf = thermocouple_emf(type, Celsius(static_cast<float>(p.degC))).value;
      CHECK(std::fabs(emf - p.mV) < 0.000502);
      // Half a microvolt of rounding is 0.02 K at the least slope of these types.
      CHECK(std::fabs(temperature(type, p.mV) - p.degC) < 0.03);
    }
  }
}

TEST_CASE("every degree from -20 to 1100 comes back from the reference emf within 0.03 K") {
  for (const ThermocoupleType type : both) {
    double worst = 0.0;
    for (int t = -20; t <= 1100; ++t) {
      worst = std::fmax(worst, std::fabs(temperature(type, reference_mV(type, t)) - t));
    }
    CAPTURE(static_cast<int>(type));
    CHECK(worst < 0.03);
    CHECK(worst > 0.001);  // chords between the knots: a zero would mean nothing was compared
  }
}

TEST_CASE("every degree of 0 to 1000 comes back through counts and cold junction within 0.1 K") {
  using hal::AnalogIn;
  for (const ThermocoupleType type : both) {
    double worst = 0.0;
    int invalid = 0;
    // Cold junctions on and between knots, through the Pt100 input: IEC 60751.
    for (const double cj : {-15.0, 0.0, 23.4, 37.5, 65.0}) {
      const double quartic = cj < 0.0 ? -4.183E-12 * (cj - 100.0) * cj * cj * cj : 0.0;
      const double ohm = 100.0 * (1.0 + 3.9083E-3 * cj - 5.775E-7 * cj * cj + quartic);
      const auto junction = cold_junction(count_of(AnalogIn::cold_junction, ohm), {});
      for (int t = 0; t <= 1000; ++t) {
        const double mV = reference_mV(type, t) - reference_mV(type, cj);
        const auto reading =
            thermocouple(AnalogIn::te_a, count_of(AnalogIn::te_a, mV), type, junction, {});
        if (!reading.valid()) ++invalid;
        worst = std::fmax(worst, std::fabs(reading.value.value - t));
      }
    }
    CAPTURE(static_cast<int>(type));
    CHECK(invalid == 0);
    CHECK(worst < 0.1);
  }
}

TEST_CASE("the firmware agrees with the published inverse functions within their stated error") {
  double worst_K = 0.0;
  double worst_N = 0.0;
  for (int uV = 0; uV <= 45'000; uV += 7) {
    const double mV = uV / 1000.0;
    worst_K = std::fmax(worst_K,
                        std::fabs(temperature(ThermocoupleType::K, mV) - published_inverse_K(mV)));
    if (mV <= 39.0) {
      worst_N = std::fmax(
          worst_N, std::fabs(temperature(ThermocoupleType::N, mV) - published_inverse_N(mV)));
    }
  }
  CHECK(worst_K < 0.06 + 0.03);
  CHECK(worst_N < 0.04 + 0.03);
}
