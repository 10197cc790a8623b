#include "sim/machine/natural_log.hpp"

#include <cmath>

namespace ovenproof::machine {

// ln x = e ln 2 + 2 artanh((m - 1) / (m + 1)) for x = m 2^e. With m in 0.7..1.4 the series' ratio
// is at most 0.03, so that 12 terms leave less than 1e-17.
double natural_log(double x) {
  int exponent = 0;
  double mantissa = std::frexp(x, &exponent);  // exact by definition
  if (mantissa < 0.7071067811865476) {
    mantissa *= 2.0;
    --exponent;
  }
  const double z = (mantissa - 1.0) / (mantissa + 1.0);
  double sum = 0.0;
  for (int n = 23; n >= 1; n -= 2) sum = sum * z * z + 1.0 / n;
  constexpr double ln_2 = 0.6931471805599453;
  return exponent * ln_2 + 2.0 * z * sum;
}

}  // namespace ovenproof::machine
