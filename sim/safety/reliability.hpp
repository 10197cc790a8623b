#pragma once
#include <optional>
#include <span>
#include <string>

#include "sim/safety/declared.hpp"

/// Mean times to dangerous failure, by ISO 13849-1:2015 (formulas
/// from memory: ISO 13849-1:2015, annexes C and D: check against the standard; worked examples
/// agree).
namespace ovenproof::safety {

/// A year in reliability: 365 days.
inline constexpr double hours_per_year = 8760.0;
/// No channel counts for more (ISO 13849-1:2015, 4.5.2; category 4 might, here it does not), years.
inline constexpr double most_channel_years = 100.0;
/// For how long the figures hold (ISO 13849-1:2015, 4.5.4), years.
inline constexpr double mission_years = 20.0;

/// MTTFd = B10d / (0.1 nop), annex C.4.2, years. Both above 0.
double mttfd_from_b10d_years(double b10d_cycles, double operations_per_year);

/// T10d = B10d / nop, annex C.4.2: time after which the part is replaced, years. Both above 0.
double t10d_from_b10d_years(double b10d_cycles, double operations_per_year);

/// MTTFd of a component from what is stated of it: MTTFd itself, 10 T10d, or B10d with operations.
/// Empty if that does not suffice.
std::optional<double> mttfd_years(const Component& component);

/// T10d of a component that wears; empty for one of which it cannot be told.
std::optional<double> t10d_years(const Component& component);

/// What `mttfd_years` lacks: "mttfd, t10d, or b10d with operations"; empty if nothing.
std::string missing_for_mttfd(const Component& component);

/// MTTFd of components in series by the parts count method, annex D.1: 1 / sum(1 / MTTFd), years.
/// At least one, all above 0.
double series_years(std::span<const double> mttfd_years);

/// MTTFd of each of two equal channels that stand for two unlike ones, annex D.2:
/// 2/3 (C1 + C2 - 1 / (1/C1 + 1/C2)), years. Both above 0.
double symmetric_years(double channel_1_years, double channel_2_years);

/// Rate of dangerous failures, 1/h.
double dangerous_rate_per_h(double mttfd_years);

}  // namespace ovenproof::safety
