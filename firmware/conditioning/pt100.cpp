#include "firmware/conditioning/pt100.hpp"

#include <cstddef>

#include "firmware/conditioning/counts.hpp"
#include "firmware/math/knots.hpp"

namespace ovenproof::conditioning {
namespace {

// IEC 60751, R(t) / R0 for platinum of 3.851e-3 1/K. Evaluated by the compiler only.
constexpr double resistance(double t) {
  constexpr double r0 = 100.0;
  constexpr double a = 3.9083E-3;
  constexpr double b = -5.775E-7;
  constexpr double c = -4.183E-12;
  const double quartic = t < 0.0 ? c * (t - 100.0) * t * t * t : 0.0;
  return r0 * (1.0 + a * t + b * t * t + quartic);
}

constexpr float first = -60.0F;
constexpr float step_K = 10.0F;
using Table = math::Knots<20>;  // to 130 degC; the input spans 80..145 ohm, -51..117 degC

constexpr Table make_table() {
  Table table{first, step_K, {}};
  for (std::size_t i = 0; i < table.y.size(); ++i) {
    table.y[i] = static_cast<float>(resistance(
        static_cast<double>(first) + static_cast<double>(step_K) * static_cast<double>(i)));
  }
  return table;
}

constexpr Table table = make_table();

}  // namespace

Celsius pt100_temperature(Ohms resistance) { return Celsius(table.argument_of(resistance.value)); }

Reading<Celsius> cold_junction(std::uint16_t count, const ColdJunctionLimits& limits) {
  Reading<Celsius> reading{pt100_temperature(Ohms(physical(hal::AnalogIn::cold_junction, count))),
                           Reason::none};
  if (count >= open_circuit_count) {
    reading.reason = Reason::open_circuit;
  } else if (count <= short_circuit_count) {
    reading.reason = Reason::short_circuit;
  } else if (reading.value < limits.min) {
    reading.reason = Reason::under_range;
  } else if (reading.value > limits.max) {
    reading.reason = Reason::over_range;
  }
  return reading;
}

}  // namespace ovenproof::conditioning
