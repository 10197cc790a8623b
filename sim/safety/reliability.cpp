#include "sim/safety/reliability.hpp"

namespace ovenproof::safety {

double mttfd_from_b10d_years(double b10d_cycles, double operations_per_year) {
  return b10d_cycles / (0.1 * operations_per_year);
}

double t10d_from_b10d_years(double b10d_cycles, double operations_per_year) {
  return b10d_cycles / operations_per_year;
}

std::optional<double> mttfd_years(const Component& part) {
  if (part.mttfd_years) return part.mttfd_years;
  if (part.t10d_years) return 10.0 * *part.t10d_years;
  if (part.b10d_cycles && part.operations_per_year) {
    return mttfd_from_b10d_years(*part.b10d_cycles, *part.operations_per_year);
  }
  return std::nullopt;
}

std::optional<double> t10d_years(const Component& part) {
  if (part.t10d_years) return part.t10d_years;
  if (part.b10d_cycles && part.operations_per_year) {
    return t10d_from_b10d_years(*part.b10d_cycles, *part.operations_per_year);
  }
  return std::nullopt;
}

std::string missing_for_mttfd(const Component& part) {
  if (mttfd_years(part)) return "";
  return part.b10d_cycles ? "operations" : "mttfd, t10d, or b10d with operations";
}

double series_years(std::span<const double> years) {
  double rate = 0.0;
  for (const double each : years) rate += 1.0 / each;
  return 1.0 / rate;
}

double symmetric_years(double one, double two) {
  return 2.0 / 3.0 * (one + two - 1.0 / (1.0 / one + 1.0 / two));
}

double dangerous_rate_per_h(double years) { return 1.0 / (years * hours_per_year); }

}  // namespace ovenproof::safety
