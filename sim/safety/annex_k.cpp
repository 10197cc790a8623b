#include "sim/safety/annex_k.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace ovenproof::safety {

namespace {

struct Row {
  double years;         ///< MTTFd of each channel
  double b_or_1;        ///< category B below 30 years, category 1 from there; no diagnostics
  double two_low;       ///< category 2, coverage low
  double two_medium;    ///< category 2, coverage medium
  double three_low;     ///< category 3, coverage low
  double three_medium;  ///< category 3, coverage medium
  double four_high;     ///< category 4, coverage high; 0: not tabulated
};

/// Average frequency of dangerous failure per hour,
/// from memory: ISO 13849-1:2015, table K.1: check against the standard. The column of categories B
/// and 1 is 1 / (8760 MTTFd), and the rows fall smoothly; the tests hold the table to both.
constexpr std::array<Row, 38> rows{{
    {3, 3.80e-5, 2.58e-5, 1.99e-5, 1.26e-5, 6.09e-6, 0},
    {3.3, 3.46e-5, 2.33e-5, 1.79e-5, 1.13e-5, 5.41e-6, 0},
    {3.6, 3.17e-5, 2.13e-5, 1.62e-5, 1.03e-5, 4.86e-6, 0},
    {3.9, 2.93e-5, 1.95e-5, 1.48e-5, 9.37e-6, 4.40e-6, 0},
    {4.3, 2.65e-5, 1.76e-5, 1.33e-5, 8.39e-6, 3.89e-6, 0},
    {4.7, 2.43e-5, 1.60e-5, 1.20e-5, 7.58e-6, 3.48e-6, 0},
    {5.1, 2.24e-5, 1.47e-5, 1.10e-5, 6.91e-6, 3.15e-6, 0},
    {5.6, 2.04e-5, 1.33e-5, 9.87e-6, 6.21e-6, 2.80e-6, 0},
    {6.2, 1.84e-5, 1.19e-5, 8.80e-6, 5.53e-6, 2.47e-6, 0},
    {6.8, 1.68e-5, 1.08e-5, 7.93e-6, 4.98e-6, 2.20e-6, 0},
    {7.5, 1.52e-5, 9.75e-6, 7.10e-6, 4.45e-6, 1.95e-6, 0},
    {8.2, 1.39e-5, 8.87e-6, 6.43e-6, 4.02e-6, 1.74e-6, 0},
    {9.1, 1.25e-5, 7.94e-6, 5.71e-6, 3.57e-6, 1.53e-6, 0},
    {10, 1.14e-5, 7.18e-6, 5.14e-6, 3.21e-6, 1.36e-6, 0},
    {11, 1.04e-5, 6.44e-6, 4.53e-6, 2.81e-6, 1.18e-6, 0},
    {12, 9.51e-6, 5.84e-6, 4.04e-6, 2.49e-6, 1.04e-6, 0},
    {13, 8.78e-6, 5.33e-6, 3.64e-6, 2.23e-6, 9.21e-7, 0},
    {15, 7.61e-6, 4.53e-6, 3.01e-6, 1.82e-6, 7.44e-7, 0},
    {16, 7.13e-6, 4.21e-6, 2.77e-6, 1.67e-6, 6.76e-7, 0},
    {18, 6.34e-6, 3.68e-6, 2.37e-6, 1.41e-6, 5.67e-7, 0},
    {20, 5.71e-6, 3.26e-6, 2.06e-6, 1.22e-6, 4.85e-7, 0},
    {22, 5.19e-6, 2.93e-6, 1.82e-6, 1.07e-6, 4.21e-7, 0},
    {24, 4.76e-6, 2.65e-6, 1.62e-6, 9.47e-7, 3.70e-7, 0},
    {27, 4.23e-6, 2.32e-6, 1.39e-6, 8.04e-7, 3.10e-7, 0},
    {30, 3.80e-6, 2.06e-6, 1.21e-6, 6.94e-7, 2.65e-7, 9.54e-8},
    {33, 3.46e-6, 1.85e-6, 1.06e-6, 5.94e-7, 2.30e-7, 8.57e-8},
    {36, 3.17e-6, 1.67e-6, 9.39e-7, 5.16e-7, 2.01e-7, 7.77e-8},
    {39, 2.93e-6, 1.53e-6, 8.40e-7, 4.53e-7, 1.78e-7, 7.11e-8},
    {43, 2.65e-6, 1.37e-6, 7.34e-7, 3.87e-7, 1.54e-7, 6.37e-8},
    {47, 2.43e-6, 1.24e-6, 6.49e-7, 3.35e-7, 1.34e-7, 5.76e-8},
    {51, 2.24e-6, 1.13e-6, 5.80e-7, 2.93e-7, 1.19e-7, 5.26e-8},
    {56, 2.04e-6, 1.02e-6, 5.10e-7, 2.52e-7, 1.03e-7, 4.73e-8},
    {62, 1.84e-6, 9.06e-7, 4.43e-7, 2.13e-7, 8.84e-8, 4.22e-8},
    {68, 1.68e-6, 8.17e-7, 3.90e-7, 1.84e-7, 7.68e-8, 3.80e-8},
    {75, 1.52e-6, 7.31e-7, 3.40e-7, 1.57e-7, 6.62e-8, 3.41e-8},
    {82, 1.39e-6, 6.61e-7, 3.01e-7, 1.35e-7, 5.79e-8, 3.08e-8},
    {91, 1.25e-6, 5.88e-7, 2.61e-7, 1.14e-7, 4.94e-8, 2.74e-8},
    {100, 1.14e-6, 5.28e-7, 2.29e-7, 1.01e-7, 4.29e-8, 2.47e-8},
}};

/// From here on a channel counts as high (table 4), and category 1 and 4 are possible.
constexpr double high_years = 30.0;

const Row* row_at(double years) {
  const auto above =
      std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.years > years; });
  return above == rows.begin() ? nullptr : &*std::prev(above);
}

}  // namespace

std::optional<double> tabulated_pfhd_per_h(Category category, CoverageBand coverage,
                                           double mttfd_years) {
  mttfd_years *= 1.0 + 1e-9;  // two equal channels made symmetric are as good as each
  const bool high = mttfd_years >= high_years;
  if (category == Category::b && high) mttfd_years = std::nextafter(high_years, 0.0);
  const Row* row = row_at(mttfd_years);
  if (row == nullptr) return std::nullopt;
  const bool some = coverage != CoverageBand::none;
  const bool low = coverage == CoverageBand::low;
  switch (category) {
    case Category::b:
      return row->b_or_1;
    case Category::one:
      return high ? std::optional(row->b_or_1) : std::nullopt;
    case Category::two:
      return some ? std::optional(low ? row->two_low : row->two_medium) : std::nullopt;
    case Category::three:
      return some ? std::optional(low ? row->three_low : row->three_medium) : std::nullopt;
    case Category::four:
      return high && coverage == CoverageBand::high ? std::optional(row->four_high) : std::nullopt;
    case Category::count:
      break;
  }
  return std::nullopt;
}

std::optional<Level> level_of(double pfhd_per_h) {
  if (pfhd_per_h >= 1e-4) return std::nullopt;
  if (pfhd_per_h >= 1e-5) return Level::a;
  if (pfhd_per_h >= 3e-6) return Level::b;
  if (pfhd_per_h >= 1e-6) return Level::c;
  return pfhd_per_h >= 1e-7 ? Level::d : Level::e;
}

}  // namespace ovenproof::safety
