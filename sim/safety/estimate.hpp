#pragma once
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "sim/safety/coverage.hpp"
#include "sim/safety/declared.hpp"

/// What the numbers of a safety function come to, by the simplified method of ISO 13849-1:2015. An
/// estimate, to be confirmed by a competent person: it says nothing of software, of systematic
/// failures, nor whether the data are true.
namespace ovenproof::safety {

/// With what every estimate is shown.
inline constexpr std::string_view estimate_caution =
    "An estimate, to be confirmed by a competent person. It weighs stated failure rates by what a "
    "simulation showed; it judges neither software nor systematic failures nor the data, and "
    "certifies nothing. The tables are from memory: ISO 13849-1:2015 and IEC 61508-6:2010, "
    "tables E.1, F.1, K.1 and annex B: check against the standard.";

struct Estimate {
  std::optional<double> channel_1_years;  ///< MTTFd, at most 100
  std::optional<double> channel_2_years;
  std::optional<double> mttfd_years;  ///< of each channel, made symmetric
  std::optional<double> coverage;     ///< DCavg, 0..1
  std::optional<int> common_cause_points;
  std::optional<double> pfhd_per_h;
  std::optional<Level> level;  ///< empty beside a PFHd: not even a

  /// By IEC 61508-6: 1oo1 for one channel without tests, 1oo2 for two, beta 2 % (detected 1 %),
  /// proof test after the mission time, 8 h to restore.
  std::optional<double> cross_check_pfh_per_h;
  /// By IEC 61508-6, where an interval of proof tests is stated.
  std::optional<double> pfd_average;

  std::vector<std::string> needs;       ///< why something is not computed: data that are missing
  std::vector<std::string> shortfalls;  ///< why the claimed category or level is not attained
  std::vector<std::string> notes;       ///< what to do or to know besides
};

/// Coverage of a component, 0..1; empty if nothing is known of it.
using CoverageOf = std::function<std::optional<double>(const Component&)>;

/// Estimates one function of `declared`. Names of components that are not there count as missing.
Estimate estimate(const Declared& declared, const Function& function, const CoverageOf& coverage);

/// The component of that name; nullptr if there is none.
const Component* find_component(const Declared& declared, std::string_view name);

}  // namespace ovenproof::safety
