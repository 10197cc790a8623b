#include "sim/evidence/values.hpp"

#include <charconv>
#include <cmath>

#include <fmt/format.h>

namespace ovenproof::evidence {

double rounded(double value, int digits) {
  if (!std::isfinite(value)) return value;
  const std::string text = fmt::format("{:.{}g}", value, digits);
  double result = 0.0;
  std::from_chars(text.data(), text.data() + text.size(), result);
  return result;
}

std::vector<std::string> names_of(logic::OutputSet outputs) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < logic::output_count; ++i) {
    const auto output = static_cast<logic::Output>(i);
    if (outputs.has(output)) names.emplace_back(logic::name_of(output));
  }
  return names;
}

bool fitted(logic::Needs needs, const logic::Options& options) {
  return (needs != logic::Needs::oxygen_monitor || options.oxygen_monitor) &&
         (needs != logic::Needs::jacket_cooling || options.jacket_cooling);
}

}  // namespace ovenproof::evidence
