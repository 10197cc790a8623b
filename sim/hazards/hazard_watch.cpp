#include "sim/hazards/hazard_watch.hpp"

#include <chrono>
#include <cmath>
#include <stdexcept>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::hazards {

std::vector<properties::Property> compile_hazards(const properties::SignalTable& table,
                                                  std::uint32_t period_ms) {
  std::vector<properties::Property> all;
  for (const Hazard& hazard : default_hazards()) {
    const properties::Compiled compiled =
        properties::compile(hazard.property, table, std::chrono::milliseconds(period_ms));
    if (!compiled.property) {
      throw std::logic_error(
          fmt::format("hazard {}: {}", hazard.id, compiled.errors.front().message()));
    }
    all.push_back(*compiled.property);
  }
  return all;
}

namespace {

std::vector<std::size_t> signals_of(const std::vector<properties::Property>& properties) {
  std::vector<std::size_t> all;
  for (const properties::Property& property : properties) {
    const std::vector<std::size_t> used = property.signals();
    all.insert(all.end(), used.begin(), used.end());
  }
  return all;
}

std::string margin_text(const properties::Verdict& verdict) {
  for (const properties::Margin& margin : verdict.margins) {
    if (std::isfinite(margin.value)) return fmt::format("{:.4g} {}", margin.value, margin.unit);
  }
  return "-";
}

}  // namespace

HazardWatch::HazardWatch(std::vector<properties::Property> properties)
    : properties_(std::move(properties)),
      monitors_(properties_),
      reader_(signals_of(properties_)),
      row_(rig::probes().size()),
      first_ms_(properties_.size()) {}

std::vector<std::size_t> HazardWatch::observe(const rig::Rig& rig) {
  reader_.read(rig, row_);
  std::vector<std::size_t> fresh;
  if (!monitors_.step(row_)) return fresh;
  for (std::size_t i = 0; i < properties_.size(); ++i) {
    if (first_ms_[i] || monitors_.standing(i) != properties::Outcome::violated) continue;
    first_ms_[i] = rig.now_ms();
    fresh.push_back(i);
  }
  return fresh;
}

std::vector<HazardVerdict> HazardWatch::verdicts() const {
  const std::vector<properties::Verdict> found = monitors_.finish();
  std::vector<HazardVerdict> verdicts;
  for (std::size_t i = 0; i < properties_.size(); ++i) {
    const Hazard& hazard = default_hazards()[i];
    verdicts.push_back({hazard.id, hazard.title, hazard.property,
                        found[i].outcome != properties::Outcome::violated, first_ms_[i],
                        margin_text(found[i])});
  }
  return verdicts;
}

}  // namespace ovenproof::hazards
