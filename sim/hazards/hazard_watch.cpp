#include "sim/hazards/hazard_watch.hpp"

#include <chrono>
#include <cmath>
#include <stdexcept>
#include <string_view>
#include <utility>

#include <fmt/format.h>

namespace ovenproof::hazards {

std::vector<properties::Property> compile_hazards(const properties::SignalTable& table,
                                                  std::uint32_t period_ms) {
  std::vector<properties::Property> all;
  const auto add = [&](const std::string& id, const std::string& text) {
    const properties::Compiled compiled =
        properties::compile(text, table, std::chrono::milliseconds(period_ms));
    if (!compiled.property) {
      throw std::logic_error(fmt::format("hazard {}: {}", id, compiled.errors.front().message()));
    }
    all.push_back(*compiled.property);
  };
  for (const Hazard& hazard : default_hazards()) add(hazard.id, hazard.property());
  for (const Hazard& hazard : default_hazards()) {
    if (hazard.kind == Kind::lasting) {
      add(hazard.id, fmt::format("never (({}) and ({}))", hazard.act, hazard.condition));
    }
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

/// A share is a quantity of its own here, so its distance is in points and not in per cent of it.
std::string_view unit_of_distance(std::string_view unit) {
  return unit == "%" ? "percentage points" : unit;
}

std::string limit_margin(const properties::Verdict& verdict) {
  for (const properties::Margin& margin : verdict.margins) {
    if (!std::isfinite(margin.value)) continue;
    return fmt::format("{:.4g} {}{}", std::abs(margin.value), unit_of_distance(margin.unit),
                       verdict.outcome == properties::Outcome::violated ? " beyond" : "");
  }
  return "never near";  // no value of the quantity could have changed the verdict
}

/// For how long the condition had lasted, at most, when the oven did what it must not.
/// `together`: verdict of that act and condition are never true at once.
std::string lasting_margin(const Hazard& hazard, const properties::Verdict& verdict,
                           const properties::Verdict& together, double scan_s) {
  const bool occurred = verdict.outcome == properties::Outcome::violated;
  if (together.outcome != properties::Outcome::violated) return "never true";
  const double longest_s = hazard.tolerance_ms / 1000.0 - verdict.margins.front().value;
  const std::string longest =
      longest_s < scan_s / 2.0 ? "one scan" : fmt::format("{:.4g} s", longest_s);
  return fmt::format("{}{} {} allowed", longest, occurred ? "," : " of",
                     tolerance_text(hazard.tolerance_ms));
}

}  // namespace

HazardWatch::HazardWatch(std::vector<properties::Property> properties)
    : properties_(std::move(properties)),
      monitors_(properties_),
      reader_(signals_of(properties_)),
      row_(rig::probes().size()),
      first_ms_(default_hazards().size()) {}

std::vector<std::size_t> HazardWatch::observe(const rig::Rig& rig) {
  reader_.read(rig, row_);
  std::vector<std::size_t> fresh;
  if (!monitors_.step(row_)) return fresh;
  for (std::size_t i = 0; i < first_ms_.size(); ++i) {
    if (first_ms_[i] || monitors_.standing(i) != properties::Outcome::violated) continue;
    first_ms_[i] = rig.now_ms();
    fresh.push_back(i);
  }
  return fresh;
}

std::vector<HazardVerdict> HazardWatch::verdicts() const {
  const std::vector<properties::Verdict> found = monitors_.finish();
  std::vector<HazardVerdict> verdicts;
  std::size_t together = first_ms_.size();
  for (std::size_t i = 0; i < first_ms_.size(); ++i) {
    const Hazard& hazard = default_hazards()[i];
    const bool avoided = found[i].outcome != properties::Outcome::violated;
    std::string margin;
    switch (hazard.kind) {
      case Kind::limit:
        margin = limit_margin(found[i]);
        break;
      case Kind::lasting:
        margin =
            lasting_margin(hazard, found[i], found[together],
                           std::chrono::duration<double>(properties_[i].scan_period()).count());
        ++together;
        break;
      case Kind::event:
        margin = avoided ? "never true" : "occurred";
        break;
    }
    verdicts.push_back(
        {hazard.id, hazard.title, hazard.property(), avoided, first_ms_[i], std::move(margin)});
  }
  return verdicts;
}

}  // namespace ovenproof::hazards
