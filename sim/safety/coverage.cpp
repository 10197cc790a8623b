#include "sim/safety/coverage.hpp"

#include <charconv>

namespace ovenproof::safety {

CoverageBand band_of(double coverage) {
  coverage += 1e-9;  // an average of parts that have exactly 99 % is as good
  if (coverage < 0.60) return CoverageBand::none;
  if (coverage < 0.90) return CoverageBand::low;
  return coverage < 0.99 ? CoverageBand::medium : CoverageBand::high;
}

double average_coverage(std::span<const Covered> parts) {
  double detected = 0.0;
  double all = 0.0;
  for (const Covered& part : parts) {
    detected += part.coverage / part.mttfd_years;
    all += 1.0 / part.mttfd_years;
  }
  return detected / all;
}

std::optional<ModeShare> mode_share(std::string_view text) {
  const std::size_t blank = text.find(' ');
  if (blank == std::string_view::npos) return ModeShare{std::string(text), std::nullopt};
  std::string_view rest = text.substr(blank + 1);
  double percent = 0.0;
  const auto [end, failure] = std::from_chars(rest.data(), rest.data() + rest.size(), percent);
  if (failure != std::errc{}) return std::nullopt;
  rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
  const bool good = blank > 0 && (rest == "%" || rest == " %") && percent > 0.0 && percent <= 100.0;
  if (!good) return std::nullopt;
  return ModeShare{std::string(text.substr(0, blank)), percent / 100.0};
}

std::optional<double> component_coverage(std::span<const ModeSeen> modes) {
  double detected = 0.0;
  double all = 0.0;
  for (const ModeSeen& mode : modes) {
    if (mode.fate == ModeFate::excluded) continue;
    if (mode.fate == ModeFate::not_tried) return std::nullopt;
    all += mode.share;
    if (mode.fate == ModeFate::noticed) detected += mode.share;
  }
  if (all <= 0.0) return std::nullopt;
  return detected / all;
}

}  // namespace ovenproof::safety
