#pragma once
#include <optional>

#include "sim/safety/coverage.hpp"
#include "sim/safety/declared.hpp"

/// The simplified method of ISO 13849-1:2015, 4.5.4: from category, coverage and MTTFd to the
/// average frequency of dangerous failure.
namespace ovenproof::safety {

/// PFHd of table K.1 for that MTTFd of each channel, 1/h. Between two rows it is that of the row
/// below, which is the worse; above the last row, that of the last, and category B stays below 30
/// years. Nothing is interpolated. Categories 2 and 3 with high coverage have that of medium. Empty
/// where the table has no figure: below 3 years, category 1 and 4 below 30 years, categories 2 and
/// 3 without coverage, category 4 with coverage below high.
std::optional<double> tabulated_pfhd_per_h(Category category, CoverageBand coverage,
                                           double mttfd_years);

/// The performance level of a PFHd (ISO 13849-1:2015, table 3); below 1e-8 it is still e. Empty
/// from 1e-4 on.
std::optional<Level> level_of(double pfhd_per_h);

}  // namespace ovenproof::safety
