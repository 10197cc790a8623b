#include "firmware/conditioning/thermocouple.hpp"

#include <array>
#include <cstddef>

#include "firmware/conditioning/counts.hpp"
#include "firmware/math/exp_log.hpp"
#include "firmware/math/knots.hpp"

namespace ovenproof::conditioning {
namespace {

// Reference functions of ITS-90 (IEC 60584-1, NIST Monograph 175), mV of degC: polynomials below
// and above 0 degC; type K adds an exponential above. They are evaluated by the compiler only.
constexpr std::array<double, 11> k_below{0.0,
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
constexpr std::array<double, 10> k_above{
    -0.176004136860E-01, 0.389212049750E-01,  0.185587700320E-04, -0.994575928740E-07,
    0.318409457190E-09,  -0.560728448890E-12, 0.560750590590E-15, -0.320207200030E-18,
    0.971511471520E-22,  -0.121047212750E-25};
constexpr std::array<double, 9> n_below{0.0,
                                        0.261591059620E-01,
                                        0.109574842280E-04,
                                        -0.938411115540E-07,
                                        -0.464120397590E-10,
                                        -0.263033577160E-11,
                                        -0.226534380030E-13,
                                        -0.760893007910E-16,
                                        -0.934196678350E-19};
constexpr std::array<double, 11> n_above{0.0,
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

template <std::size_t N>
constexpr double polynomial(const std::array<double, N>& c, double t) {
  double sum = 0.0;
  for (std::size_t i = N; i-- > 0;) sum = sum * t + c[i];
  return sum;
}

constexpr double reference_emf(ThermocoupleType type, double t) {
  if (type == ThermocoupleType::N)
    return t <= 0.0 ? polynomial(n_below, t) : polynomial(n_above, t);
  if (t <= 0.0) return polynomial(k_below, t);
  // The exponential is at most 0.12 mV: float32 gives it to 1e-8 mV.
  const double d = t - 0.126968600000E+03;
  const float bump = math::exp(static_cast<float>(-0.118343200000E-03 * d * d));
  return polynomial(k_above, t) + 0.118597600000E+00 * static_cast<double>(bump);
}

constexpr float step_K = 10.0F;  // linear between: the chord is off by 0.03 K at most
constexpr std::size_t knots =
    static_cast<std::size_t>((thermocouple_max.value - thermocouple_min.value) / step_K) + 1;
using Table = math::Knots<knots>;

constexpr Table make_table(ThermocoupleType type) {
  Table table{thermocouple_min.value, step_K, {}};
  for (std::size_t i = 0; i < knots; ++i) {
    const double t =
        static_cast<double>(table.first) + static_cast<double>(step_K) * static_cast<double>(i);
    table.y[i] = static_cast<float>(reference_emf(type, t));
  }
  return table;
}

constexpr Table table_k = make_table(ThermocoupleType::K);
constexpr Table table_n = make_table(ThermocoupleType::N);

const Table& table(ThermocoupleType type) {
  return type == ThermocoupleType::N ? table_n : table_k;
}

}  // namespace

Millivolts thermocouple_emf(ThermocoupleType type, Celsius temperature) {
  return Millivolts(table(type).value_at(temperature.value));
}

Celsius thermocouple_temperature(ThermocoupleType type, Millivolts emf) {
  return Celsius(table(type).argument_of(emf.value));
}

Reading<Celsius> thermocouple(hal::AnalogIn point, std::uint16_t count, ThermocoupleType type,
                              const Reading<Celsius>& cold_junction,
                              const ThermocoupleLimits& limits) {
  const Millivolts measured(physical(point, count));
  const Millivolts total = measured + thermocouple_emf(type, cold_junction.value);
  Reading<Celsius> reading{thermocouple_temperature(type, total), Reason::none};
  // An end of the table stands for everything beyond it, whatever the limits say.
  const Table& t = table(type);
  if (count >= open_circuit_count) {
    reading.reason = Reason::open_circuit;
  } else if (!cold_junction.valid()) {
    reading.reason = Reason::cold_junction;
  } else if (reading.value < limits.min || total.value <= t.y.front()) {
    reading.reason = Reason::under_range;
  } else if (reading.value > limits.max || total.value >= t.y.back()) {
    reading.reason = Reason::over_range;
  }
  return reading;
}

}  // namespace ovenproof::conditioning
