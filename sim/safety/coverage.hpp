#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "sim/safety/declared.hpp"

/// Diagnostic coverage: which share of the dangerous failures is detected.
namespace ovenproof::safety {

/// ISO 13849-1:2015, table 5: none below 60 %, low below 90 %, medium below 99 %, then high.
enum class CoverageBand : std::uint8_t { none, low, medium, high, count };
inline constexpr std::array<std::string_view, static_cast<std::size_t>(CoverageBand::count)>
    coverage_band_names{"none", "low", "medium", "high"};
constexpr std::string_view name(CoverageBand band) {
  return band < CoverageBand::count ? coverage_band_names[static_cast<std::size_t>(band)] : "";
}

/// The band of a coverage of 0..1.
CoverageBand band_of(double coverage);

/// One part of a safety function.
struct Covered {
  double mttfd_years = 0.0;
  double coverage = 0.0;  ///< 0..1
};

/// DCavg = sum(DC / MTTFd) / sum(1 / MTTFd), ISO 13849-1:2015, annex E.2. At least one part.
double average_coverage(std::span<const Covered> parts);

/// One of a component's failure modes and its share of the dangerous failure rate.
struct ModeShare {
  std::string mode;
  std::optional<double> share;  ///< 0..1
};

/// Reads "Q1.welded" or "Q1.welded 80 %". Empty if what follows the name is no share above 0 and
/// up to 100 %.
std::optional<ModeShare> mode_share(std::string_view text);

/// What a campaign made of one failure mode, at its worst.
enum class ModeFate : std::uint8_t {
  hazardous,  ///< a hazard occurred
  unnoticed,  ///< dormant: no message
  noticed,    ///< a message, or the oven went to its safe state, in time
  outage,     ///< no hazard and no message; the oven did not do its job
  no_effect,  ///< nothing showed
  not_tried,  ///< not all of its injections have a result, and none so far was hazardous
  excluded,   ///< not considered, for the reason stated in the catalogue
  count
};
inline constexpr std::size_t mode_fate_count = static_cast<std::size_t>(ModeFate::count);

/// One dangerous failure mode of a component, as a campaign saw it.
struct ModeSeen {
  double share = 1.0;  ///< of the component's dangerous failures; need not add up to 1
  ModeFate fate = ModeFate::no_effect;
};

/// Coverage of a component: share of its dangerous failures that is detected. Only `noticed`
/// counts as such; excluded modes count on neither side. Empty if no mode is left or one was not
/// tried.
std::optional<double> component_coverage(std::span<const ModeSeen> modes);

}  // namespace ovenproof::safety
