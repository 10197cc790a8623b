#pragma once
#include <array>

#include "sim/plant/parameters.hpp"
#include "sim/plant/portable_math.hpp"

/// Thermocouple reference functions of ITS-90: E(t90) against a junction at 0 degC. Coefficients
/// from NIST Monograph 175 (identical to IEC 60584-1).
namespace ovenproof::plant {

namespace detail {
template <std::size_t N>
constexpr double polynomial(const std::array<double, N>& c, double t) {
  double sum = c[N - 1];
  for (std::size_t i = N - 1; i-- > 0;) sum = sum * t + c[i];
  return sum;
}

inline constexpr std::array<double, 10> type_k_above{
    -0.176004136860e-01, 0.389212049750e-01,  0.185587700320e-04, -0.994575928740e-07,
    0.318409457190e-09,  -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18,
    0.971511471520e-22,  -0.121047212750e-25};
inline constexpr std::array<double, 11> type_k_below{0.0,
                                                     0.394501280250e-01,
                                                     0.236223735980e-04,
                                                     -0.328589067840e-06,
                                                     -0.499048287770e-08,
                                                     -0.675090591730e-10,
                                                     -0.574103274280e-12,
                                                     -0.310888728940e-14,
                                                     -0.104516093650e-16,
                                                     -0.198892668780e-19,
                                                     -0.163226974860e-22};
inline constexpr std::array<double, 11> type_n_above{0.0,
                                                     0.259293946010e-01,
                                                     0.157101418800e-04,
                                                     0.438256272370e-07,
                                                     -0.252611697940e-09,
                                                     0.643118193390e-12,
                                                     -0.100634715190e-14,
                                                     0.997453389920e-18,
                                                     -0.608632456070e-21,
                                                     0.208492293390e-24,
                                                     -0.306821961510e-28};
inline constexpr std::array<double, 9> type_n_below{0.0,
                                                    0.261591059620e-01,
                                                    0.109574842280e-04,
                                                    -0.938411115540e-07,
                                                    -0.464120397590e-10,
                                                    -0.263033577160e-11,
                                                    -0.226534380030e-13,
                                                    -0.760893007910e-16,
                                                    -0.934196678350e-19};

constexpr double clamp(double t, double low, double high) {
  return t < low ? low : (t > high ? high : t);
}
}  // namespace detail

/// Type K, mV; t in degC, held at the ends of -270..1372.
constexpr double emf_type_k_mV(double t) {
  t = detail::clamp(t, -270.0, 1372.0);
  if (t < 0.0) return detail::polynomial(detail::type_k_below, t);
  const double d = t - 0.126968600000e+03;
  return detail::polynomial(detail::type_k_above, t) +
         0.118597600000e+00 * portable::exp(-0.118343200000e-03 * d * d);
}

/// Type N, mV; t in degC, held at the ends of -270..1300.
constexpr double emf_type_n_mV(double t) {
  t = detail::clamp(t, -270.0, 1300.0);
  return t < 0.0 ? detail::polynomial(detail::type_n_below, t)
                 : detail::polynomial(detail::type_n_above, t);
}

/// Reference function of either type, mV.
constexpr double emf_mV(ThermocoupleType type, double t) {
  return type == ThermocoupleType::k ? emf_type_k_mV(t) : emf_type_n_mV(t);
}

}  // namespace ovenproof::plant
