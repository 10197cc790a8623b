#include "sim/evidence/trends.hpp"

#include <array>
#include <stdexcept>

#include <fmt/format.h>

namespace ovenproof::evidence {
namespace {

constexpr std::array number_names{"setpoint",         "reading.temperature", "plant.gas",
                                  "plant.load",       "plant.element",       "plant.wall",
                                  "plant.oxygen",     "reading.oxygen",      "plant.room_oxygen",
                                  "plant.purge_flow", "plant.process_flow",  "plant.exhaust_flow",
                                  "plant.pressure",   "plant.heater_power",  "plant.jacket_heat"};
constexpr std::array band_names{"phase",           "gas_path",          "fan_state",
                                "jacket_state",    "board.k1",          "board.k2",
                                "board.fan",       "board.purge_valve", "board.process_valve",
                                "board.damper",    "board.blower",      "board.horn",
                                "hands.start",     "hands.stop",        "hands.reset",
                                "hands.door_open", "hands.reaching_in"};

constexpr std::uint32_t finest_ms = 1000;
/// Round multiples of the finest interval.
constexpr std::array<std::uint32_t, 11> multiples{1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800};

std::size_t index_of(std::string_view name) {
  const rig::Probe* probe = rig::find_probe(name);
  if (probe == nullptr) throw std::logic_error(fmt::format("no probe {}", name));
  return static_cast<std::size_t>(probe - rig::probes().data());
}

template <std::size_t n>
std::vector<std::size_t> indices(const std::array<const char*, n>& names) {
  std::vector<std::size_t> all;
  for (const char* name : names) all.push_back(index_of(name));
  return all;
}

}  // namespace

TrendRecorder::TrendRecorder(std::size_t most_rows)
    : most_rows_(most_rows),
      number_at_(indices(number_names)),
      band_at_(indices(band_names)),
      numbers_(number_at_),
      bands_(band_at_),
      row_(rig::probes().size()) {
  for (const char* name : number_names) {
    const rig::Probe& probe = *rig::find_probe(name);
    trends_.trends.push_back({name, std::string(probe.unit), std::string(probe.description), {}});
  }
  for (const char* name : band_names) {
    const rig::Probe& probe = *rig::find_probe(name);
    Band band{name, std::string(probe.description), {}, {}};
    for (const std::string_view label : probe.labels) band.labels.emplace_back(label);
    trends_.bands.push_back(std::move(band));
  }
}

void TrendRecorder::observe(const rig::Rig& rig) {
  bands_.read(rig, row_);
  for (std::size_t i = 0; i < band_at_.size(); ++i) {
    std::vector<Change>& changes = trends_.bands[i].changes;
    const auto value = static_cast<std::uint8_t>(row_[band_at_[i]]);
    if (changes.empty() || changes.back().value != value) changes.push_back({rig.now_ms(), value});
  }
  if (!trends_.ms.empty() && rig.now_ms() - trends_.ms.back() < finest_ms) return;
  numbers_.read(rig, row_);
  trends_.ms.push_back(rig.now_ms());
  for (std::size_t i = 0; i < number_at_.size(); ++i) {
    trends_.trends[i].values.push_back(row_[number_at_[i]]);
  }
}

Trends TrendRecorder::finish() && {
  std::uint32_t keep = multiples.back();
  for (const std::uint32_t each : multiples) {
    if (trends_.ms.size() <= most_rows_ * each) {
      keep = each;
      break;
    }
  }
  const auto thin = [keep](auto& values) {
    std::size_t kept = 0;
    for (std::size_t i = 0; i < values.size(); i += keep) values[kept++] = values[i];
    values.resize(kept);
  };
  thin(trends_.ms);
  for (Trend& trend : trends_.trends) thin(trend.values);
  trends_.every_ms = keep * finest_ms;
  return std::move(trends_);
}

}  // namespace ovenproof::evidence
